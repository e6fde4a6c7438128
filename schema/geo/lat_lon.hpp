// Positions on the Earth. Latitude always comes first, and the two are never passed as bare
// numbers.
//
// Science uses LatLon (degrees, double). Code that must give the same answer on a desktop and on a
// microcontroller uses LatLonE7 (whole 1e-7 degrees, about a centimetre).
#pragma once

#include <cstdint>

namespace thirstline {

/// WGS 84 degrees; latitude −90 to 90, longitude usually −180 to 180 (any finite value is
/// accepted).
struct LatLon {
    double lat_deg = 0.0;
    double lon_deg = 0.0;
    friend bool operator==(const LatLon&, const LatLon&) = default;
};

/// Whole 1e-7 degrees; latitude −900000000 to 900000000, longitude −1800000000 to 1799999999.
struct LatLonE7 {
    std::int32_t lat_e7 = 0;
    std::int32_t lon_e7 = 0;
    friend bool operator==(const LatLonE7&, const LatLonE7&) = default;
};

/// Range of site elevations, in metres: slightly beyond the lowest and the highest on land.
inline constexpr std::int32_t kLowestSiteM = -1000;
inline constexpr std::int32_t kHighestSiteM = 10000;

inline constexpr std::int64_t kE7PerDegree = 10'000'000;

/// Whether these are valid numbers of a LatLonE7.
[[nodiscard]] constexpr bool is_on_earth(std::int64_t lat_e7, std::int64_t lon_e7) {
    return lat_e7 >= -90 * kE7PerDegree && lat_e7 <= 90 * kE7PerDegree &&
           lon_e7 >= -180 * kE7PerDegree && lon_e7 < 180 * kE7PerDegree;
}

/// Any longitude in whole 1e-7 degrees, normalised to −1800000000 … 1799999999.
[[nodiscard]] std::int32_t normalised_lon_e7(std::int64_t lon_e7);

/// Longitude in degrees, normalised to [−180, 180).
[[nodiscard]] double normalised_lon_deg(double lon_deg);

/// Rounded half away from zero, longitude normalised. The latitude must be within −90 … 90.
[[nodiscard]] LatLonE7 to_e7(LatLon position);

[[nodiscard]] LatLon to_degrees(LatLonE7 position);

/// Great-circle distance on a sphere of the Earth's mean radius, 6371.0088 km (IUGG), by the
/// haversine formula.
[[nodiscard]] double great_circle_km(LatLon a, LatLon b);

}  // namespace thirstline
