// A demand as one HTML page for a customer: it needs no network and no script, and with up to three
// zones it prints on one sheet of A4 or Letter.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/units.hpp"

namespace thirstline {

/// UTF-8; all data is escaped.
[[nodiscard]] std::string demand_page(const DemandReport& report, UnitSystem units);

}  // namespace thirstline
