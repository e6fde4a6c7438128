#include "builder/evaluation/regions.hpp"

#include <algorithm>
#include <cctype>
#include <string>

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

struct Box {
    double south, north, west, east;
    [[nodiscard]] bool holds(LatLon p) const {
        return p.lat_deg > south && p.lat_deg < north && p.lon_deg > west && p.lon_deg < east;
    }
};

constexpr Box kContiguousUnitedStates{24, 50, -125, -66};
constexpr Box kEurope{36, 72, -25, 45};
constexpr Box kEastAsia{18, 55, 100, 150};
constexpr Box kSouthAmerica{-57, 13, -82, -34};
constexpr Box kAfrica{-36, 36, -20, 52};
constexpr Box kArabia{13, 36, 34, 52};

}  // namespace

std::string_view region_name(Region region) {
    constexpr std::array<std::string_view, kRegions> kNames{"world",     "United States", "Europe",
                                                            "East Asia", "South America", "Africa"};
    return kNames[static_cast<std::size_t>(region)];
}

bool is_same_country(std::string_view a, std::string_view b) {
    return folded_name(a) == folded_name(b);
}

bool is_in(Region region, LatLon position, std::string_view country) {
    switch (region) {
        case Region::world:
            return true;
        case Region::united_states: {
            if (country.empty()) return kContiguousUnitedStates.holds(position);
            const std::string name = folded_name(country);
            return name == "unitedstates" || name == "unitedstatesofamerica" || name == "usa" ||
                   name == "us";
        }
        case Region::europe:
            return kEurope.holds(position);
        case Region::east_asia:
            return kEastAsia.holds(position);
        case Region::south_america:
            return kSouthAmerica.holds(position);
        case Region::africa:
            return kAfrica.holds(position) && !kArabia.holds(position);
    }
    return false;
}

std::string_view distance_class_name(DistanceClass distance) {
    constexpr std::array<std::string_view, kDistanceClasses> kNames{
        "all", "0-25 km", "25-50 km", "50-100 km", "100-250 km", "250+ km", "as lattice"};
    return kNames[static_cast<std::size_t>(distance)];
}

DistanceClass distance_class_of(double km) {
    if (km < 25.0) return DistanceClass::to_25_km;
    if (km < 50.0) return DistanceClass::to_50_km;
    if (km < 100.0) return DistanceClass::to_100_km;
    if (km < 250.0) return DistanceClass::to_250_km;
    return DistanceClass::beyond_250_km;
}

}  // namespace thirstline
