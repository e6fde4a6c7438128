// Doubles as decimal text and back, both without any loss.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace thirstline {

/// The fewest digits that give the same double again, "0.7" or "1e+30", in the form of
/// std::to_chars; `value` must be finite.
[[nodiscard]] std::string shortest_text(double value);

/// The double nearest to an optional minus sign, digits and a decimal point; nothing for any other
/// text, and for what is too great for a double.
[[nodiscard]] std::optional<double> nearest_double(std::string_view text);

// --- For standard libraries that cannot do so for doubles (libc++ 14, of which the page's module
// is
// --- made: it has no std::from_chars, and its std::to_chars brings 130 KB of tables) -------------

/// As shortest_text; only where the decimal point is a point, as in the locale "C".
[[nodiscard]] std::string shortest_text_by_printf(double value);

/// As nearest_double, on the same condition.
[[nodiscard]] std::optional<double> nearest_double_by_strtod(const std::string& text);

}  // namespace thirstline
