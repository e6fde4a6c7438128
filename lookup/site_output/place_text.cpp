#include "lookup/site_output/place_text.hpp"

#include <cstdlib>

#include "lookup/texts/text_table.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {

std::string position_text(LatLonE7 position, Language language) {
    std::string out;
    append_degrees(out, std::abs(position.lat_e7));
    out += ' ';
    out += text_of(position.lat_e7 < 0 ? "site.south"_text : "site.north"_text, language);
    out += ", ";
    append_degrees(out, std::abs(position.lon_e7));
    out += ' ';
    out += text_of(position.lon_e7 < 0 ? "site.west"_text : "site.east"_text, language);
    return out;
}

std::string height_text(double m, const TextStyle& style) {
    const bool is_us = style.units == UnitSystem::us;
    return fixed(is_us ? feet(m) : m, 0) + " " +
           std::string(text_of(is_us ? "unit.ft"_text : "unit.m"_text, style.language));
}

std::string distance_text(double km, const TextStyle& style) {
    const bool is_us = style.units == UnitSystem::us;
    return fixed(is_us ? miles(km) : km, 1) + " " +
           std::string(text_of(is_us ? "unit.miles"_text : "unit.km"_text, style.language));
}

}  // namespace thirstline
