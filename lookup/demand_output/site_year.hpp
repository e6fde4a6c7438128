// The year of a whole site: means of its zones, weighted by area.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand_output/demand_report.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Means over the area of all zones.
struct SiteMonth {
    double need_mm = 0.0;
    double effective_rain_mm = 0.0;  ///< the credited part of the rain
    double net_mm = 0.0;             ///< within the season
    std::optional<double> rain_mm;   ///< all rain at the site
};

[[nodiscard]] Monthly<SiteMonth> site_months(const DemandReport& report);

}  // namespace thirstline
