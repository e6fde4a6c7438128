// Places, elevations and distances in text for people.
#pragma once

#include <string>

#include "lookup/site_output/site_text.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// "44.45 N, 37.59 W"; in Spanish west is O
[[nodiscard]] std::string position_text(LatLonE7 position, Language language = Language::english);
/// "140 m" or "459 ft"
[[nodiscard]] std::string height_text(double m, const TextStyle& style);
/// "12.3 km" or "7.6 miles"
[[nodiscard]] std::string distance_text(double km, const TextStyle& style);

}  // namespace thirstline
