// A demand for a person at the controller: first the settings, then the reasons.
#pragma once

#include <cstddef>
#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

inline constexpr std::size_t kWideColumns = 80;

/// No line of our text is longer than `columns`: kWideColumns, or kTextColumns for a phone's
/// terminal.
[[nodiscard]] std::string demand_text(const DemandReport& report, const TextStyle& style,
                                      std::size_t columns);

}  // namespace thirstline
