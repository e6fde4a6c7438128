// The Earth as a sphere, for distances in floating point: its radius, and places as points in
// space. (chord.hpp has the integer distances that every reader must reproduce.)
#pragma once

#include <array>
#include <cmath>
#include <numbers>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Mean radius (IUGG).
inline constexpr double kEarthRadiusKm = 6371.0088;

/// Axes: through 0° N 0° E, through 0° N 90° E, and through the north pole.
using Vector3 = std::array<double, 3>;

/// On a sphere of that radius around the origin, in the radius's unit.
[[nodiscard]] inline Vector3 point_on_sphere(LatLon position, double radius) {
    const double lat = position.lat_deg * std::numbers::pi / 180.0;
    const double lon = position.lon_deg * std::numbers::pi / 180.0;
    return {radius * std::cos(lat) * std::cos(lon), radius * std::cos(lat) * std::sin(lon),
            radius * std::sin(lat)};
}

[[nodiscard]] inline Vector3 unit_vector(LatLon position) {
    return point_on_sphere(position, 1.0);
}

/// The straight-line distance, slightly shorter than the distance along the surface.
[[nodiscard]] inline double chord_length(const Vector3& a, const Vector3& b) {
    const double dx = a[0] - b[0];
    const double dy = a[1] - b[1];
    const double dz = a[2] - b[2];
    return std::sqrt(dx * dx + dy * dy + dz * dz);
}

}  // namespace thirstline
