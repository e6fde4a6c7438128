// The year of a whole site: its zones' numbers as one, each by its area.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand_output/demand_report.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Means over the area of all zones.
struct SiteMonth {
    double need_mm = 0.0;
    double effective_rain_mm = 0.0;  ///< what of the rain is credited
    double net_mm = 0.0;
    std::optional<double> rain_mm;  ///< all of it, of the place
};

[[nodiscard]] Monthly<SiteMonth> site_months(const DemandReport& report);

}  // namespace thirstline
