// Names with the number of a month in them: "tmax_{month:02}.tif".
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// Whether the text contains "{month}" or "{month:02}".
[[nodiscard]] bool has_month_pattern(std::string_view text);

/// The text with every "{month}" (1) and "{month:02}" (01) replaced by the number of a month
/// (0 … 11, January is 0); unchanged without them.
[[nodiscard]] std::string with_month(std::string text, int month);

}  // namespace thirstline
