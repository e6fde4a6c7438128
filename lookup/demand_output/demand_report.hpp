// All content of a demand for every output format: text, JSON, CSV or a page to print.
#pragma once

#include <vector>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/meter_comparison.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/site/site_report.hpp"
#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct DemandReport {
    SiteReport site;
    ZoneSet set;                     ///< the request: as many zones as the plan has
    DemandPlan plan;                 ///< computed from both
    std::vector<MeterPeriod> meter;  ///< empty without readings
};

/// The reference surface of a file's ETo.
[[nodiscard]] ReferenceCrop reference_crop(const Baseline& baseline);

/// Errors: those of climate_of_profile and demand_plan.
[[nodiscard]] Result<DemandReport> demand_report(SiteReport site, ZoneSet set);

}  // namespace thirstline
