#include "lookup/site_output/place_text.hpp"

#include <cstdlib>

#include "schema/text/rounding.hpp"

namespace thirstline {

std::string position_text(LatLonE7 position) {
    std::string out;
    append_degrees(out, std::abs(position.lat_e7));
    out += position.lat_e7 < 0 ? " S, " : " N, ";
    append_degrees(out, std::abs(position.lon_e7));
    return out + (position.lon_e7 < 0 ? " W" : " E");
}

std::string height_text(double m, const TextStyle& style) {
    return style.units == UnitSystem::us ? fixed(feet(m), 0) + " ft" : fixed(m, 0) + " m";
}

std::string distance_text(double km, const TextStyle& style) {
    return style.units == UnitSystem::us ? fixed(miles(km), 1) + " miles" : fixed(km, 1) + " km";
}

}  // namespace thirstline
