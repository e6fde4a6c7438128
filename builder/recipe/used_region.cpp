#include "builder/recipe/used_region.hpp"

#include <cmath>
#include <cstdio>
#include <numbers>

#include "builder/recipe/recipe.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

constexpr double kKmPerDegree = kEarthRadiusKm * std::numbers::pi / 180.0;

}  // namespace

UsedRegion::UsedRegion(const Lattice& lattice, double margin_km) : margin_km_(margin_km) {
    const LatLon south_west = position_of(lattice, {0, 0});
    const double spacing_deg = static_cast<double>(lattice.spacing_arcsec) / kArcsecPerDegree;
    south_deg_ = south_west.lat_deg - margin_km / kKmPerDegree;
    north_deg_ = position_of(lattice, {lattice.rows - 1, 0}).lat_deg + margin_km / kKmPerDegree;
    west_deg_ = south_west.lon_deg;
    width_deg_ = wraps(lattice) ? 360.0 : (lattice.columns - 1) * spacing_deg;
}

bool UsedRegion::contains(LatLon position) const {
    if (position.lat_deg < south_deg_ || position.lat_deg > north_deg_) return false;
    const double km_per_degree =
        kKmPerDegree * std::cos(position.lat_deg * std::numbers::pi / 180.0);
    // At a pole every longitude is near.
    if (margin_km_ >= km_per_degree * 180.0) return true;
    const double margin_deg = margin_km_ / km_per_degree;
    if (width_deg_ + 2.0 * margin_deg >= 360.0) return true;
    const double middle_deg = west_deg_ + width_deg_ / 2.0;
    return std::abs(normalised_lon_deg(position.lon_deg - middle_deg)) <=
           width_deg_ / 2.0 + margin_deg;
}

bool UsedRegion::contains_exchanged(LatLon position) const {
    constexpr double kPoleDeg = 90.0;
    return std::abs(position.lon_deg) <= kPoleDeg && contains({position.lon_deg, position.lat_deg});
}

std::string UsedRegion::text() const {
    char text[64];
    std::snprintf(text, sizeof text, "within %.0f km of the lattice", margin_km_);
    return text;
}

UsedRegion region_of_stations(const Recipe& recipe) {
    return {recipe.lattice, recipe.station_margin_km};
}

UsedRegion region_of_postal_codes(const Recipe& recipe) {
    return {recipe.lattice, recipe.lattice.reach_m / 1000.0};
}

}  // namespace thirstline
