// The part of the world whose stations and postal codes a build uses: the box of its lattice with
// a margin around it. Rows outside are counted, and neither judged nor used.
#pragma once

#include <cstdint>
#include <string>

#include "schema/geo/lattice.hpp"

namespace thirstline {

struct Recipe;

/// Margin for stations if the recipe has no station_margin_km. Chosen by its effect on the values
/// inside: tests/benchmarks/RESULTS.md.
inline constexpr double kStationMarginKm = 500.0;
inline constexpr double kLargestMarginKm = 20'100.0;  ///< all of the world

class UsedRegion {
  public:
    /// The whole world.
    UsedRegion() = default;
    /// `margin_km`: how far the region extends beyond the lattice's outermost points, to north and
    /// south, and along each parallel to west and east.
    UsedRegion(const Lattice& lattice, double margin_km);

    [[nodiscard]] bool contains(LatLon position) const;
    /// Whether it contains the place whose latitude and longitude are exchanged.
    [[nodiscard]] bool contains_exchanged(LatLon position) const;
    [[nodiscard]] double margin_km() const { return margin_km_; }
    /// "within 500 km of the lattice"
    [[nodiscard]] std::string text() const;

  private:
    double margin_km_ = kLargestMarginKm;
    double south_deg_ = -90.0;
    double north_deg_ = 90.0;
    double west_deg_ = -180.0;
    double width_deg_ = 360.0;
};

[[nodiscard]] UsedRegion region_of_stations(const Recipe& recipe);

/// No look-up can answer at a postal code that is farther than the reach from every point.
[[nodiscard]] UsedRegion region_of_postal_codes(const Recipe& recipe);

}  // namespace thirstline
