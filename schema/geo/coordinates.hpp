// Positions as people write them. Latitude always comes first.
//
// Accepted: decimal degrees; degrees with minutes, or with minutes and seconds; a sign or one of
// the letters N S E W, before or after; the marks ° ' " and their typographic variants; a comma, a
// semicolon or blanks between the two:
//     44.45,-37.59      44.45N 37.59W      44°27'00"N 37°35'24"W      44 27 00 N, 37 35 24 W
// Numbers have a decimal point in every locale. Rejected on purpose: exponents, hexadecimal, nan,
// inf, a sign together with a letter, and any trailing text.
//
// Errors (usage): one sentence that quotes the text and describes the fault; a latitude outside −90
// … 90 or a longitude outside −180 … 180; with a hint if the two look swapped.
#pragma once

#include <string_view>

#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Both in one text, as in the option --at.
[[nodiscard]] Result<LatLonE7> parse_position(std::string_view text);

/// Each in its own text, as in a table.
[[nodiscard]] Result<LatLonE7> parse_position(std::string_view lat_text, std::string_view lon_text);

/// Degrees given as numbers, with the same limits. Errors as above, and for nan and inf.
[[nodiscard]] Result<LatLonE7> checked_position(LatLon position);

}  // namespace thirstline
