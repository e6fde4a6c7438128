// A demand as one HTML page for a customer: it needs no network and no script, and with up to four
// zones it prints on two sheets of A4 or Letter: the schedule, and the reasons.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/units.hpp"

namespace thirstline {

/// UTF-8, in the reader's units and language; all data is escaped.
[[nodiscard]] std::string demand_page(const DemandReport& report, const TextStyle& reader);

}  // namespace thirstline
