// Names with the number of a month or a year in them: "tmax_{month:02}.tif", "tmax_{year}.nc".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/grids/year_range.hpp"

namespace thirstline {

/// Whether the text contains "{month}" or "{month:02}".
[[nodiscard]] bool has_month_pattern(std::string_view text);

/// Whether it contains "{year}".
[[nodiscard]] bool has_year_pattern(std::string_view text);

/// The text with every "{month}" (1) and "{month:02}" (01) replaced by the number of a month
/// (0 … 11, January is 0); unchanged without them.
[[nodiscard]] std::string with_month(std::string text, int month);

/// The text with every "{year}" replaced.
[[nodiscard]] std::string with_year(std::string text, int year);

/// The text for all its years and months, in the order of time: itself, twelve, one for each year,
/// or twelve for each. "{year}" stays without `years`.
[[nodiscard]] std::vector<std::string> with_all_months(const std::string& text,
                                                       const std::optional<YearRange>& years);

}  // namespace thirstline
