// The tables of the demand text.
#pragma once

#include <cstddef>
#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// Each program's percentages, and for each zone their excess over its need; half a year per row if
/// columns are few.
[[nodiscard]] std::string percentage_table(const DemandReport& report, const TextStyle& style,
                                           std::size_t columns);

/// One line per month: need, effective rain, settings, and on a wide screen water and cost.
[[nodiscard]] std::string zone_table(const ZonePlan& zone, std::string_view currency,
                                     const TextStyle& style, std::size_t columns);

/// The figures of the year, one line each; on a narrow screen the amounts are below their names.
[[nodiscard]] std::string year_table(const DemandReport& report, const TextStyle& style,
                                     std::size_t columns);

}  // namespace thirstline
