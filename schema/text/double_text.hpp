// Converts doubles to decimal text and back without loss.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace thirstline {

/// The fewest digits that give the same double again, "0.7" or "1e+30", in the format of
/// std::to_chars; `value` must be finite.
[[nodiscard]] std::string shortest_text(double value);

/// The double nearest to an optional minus sign, digits and a decimal point; nothing for any other
/// text, and for a number that is too large for a double.
[[nodiscard]] std::optional<double> nearest_double(std::string_view text);

// --- For standard libraries without these conversions of doubles (libc++ 14, used for the page's
// --- module, has no std::from_chars, and its std::to_chars adds 130 KB of tables) ----------------

/// As shortest_text; requires a locale whose decimal separator is a point, such as "C".
[[nodiscard]] std::string shortest_text_by_printf(double value);

/// As nearest_double, with the same requirement.
[[nodiscard]] std::optional<double> nearest_double_by_strtod(const std::string& text);

}  // namespace thirstline
