// Positions as people write them. Latitude comes first, always.
//
// Understood: decimal degrees; degrees with minutes, or with minutes and seconds; a sign or one of
// the letters N S E W, before or after; the marks ° ' " and their typographic kin; a comma, a
// semicolon or blanks between the two:
//     44.45,-37.59      44.45N 37.59W      44°27'00"N 37°35'24"W      44 27 00 N, 37 35 24 W
// Numbers have a decimal point whatever the locale. Not understood, on purpose: exponents,
// hexadecimal, nan, inf, a sign together with a letter, and anything left over.
//
// Errors (usage): one sentence that quotes the text and says what is wrong with it; a latitude
// outside −90 … 90 or a longitude outside −180 … 180; and where the two look swapped, a hint.
#pragma once

#include <string_view>

#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Both in one text, as the option --at takes them.
[[nodiscard]] Result<LatLonE7> parse_position(std::string_view text);

/// Each in a text of its own, as a table has them.
[[nodiscard]] Result<LatLonE7> parse_position(std::string_view lat_text, std::string_view lon_text);

/// Degrees that came as numbers, under the same limits. Errors as above, and for nan and inf.
[[nodiscard]] Result<LatLonE7> checked_position(LatLon position);

}  // namespace thirstline
