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

/// What the zones need in the mean and in the dry year, without regard to the rules.
struct YearNeeds {
    YearTotals normals;
    YearTotals dry;
    /// Water that the allowances do not cover in the dry year; empty without an allowance.
    std::optional<double> dry_allowance_short_l;
};

struct DemandReport {
    SiteReport site;
    ZoneSet set;                     ///< the request: as many zones as the plan has
    DemandPlan plan;                 ///< computed from both
    std::vector<MeterPeriod> meter;  ///< empty without readings
    std::optional<YearNeeds> years;  ///< in a file with wet and dry years
};

/// The reference surface of a file's ETo.
[[nodiscard]] ReferenceCrop reference_crop(const Baseline& baseline);

/// Errors: those of climate_of_profile and demand_plan.
[[nodiscard]] Result<DemandReport> demand_report(SiteReport site, ZoneSet set);

}  // namespace thirstline
