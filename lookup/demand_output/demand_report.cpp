#include "lookup/demand_output/demand_report.hpp"

#include <utility>

#include "lookup/demand/climate_of_profile.hpp"
#include "lookup/demand/demand_plan.hpp"

namespace thirstline {

ReferenceCrop reference_crop(const Baseline& baseline) {
    return baseline.reference == "tall" ? ReferenceCrop::tall_crop : ReferenceCrop::short_grass;
}

Result<DemandReport> demand_report(SiteReport site, ZoneSet set) {
    auto climate = TRY(climate_of_profile(site.profile, reference_crop(site.baseline)));
    if (site.query.position) climate.at = to_degrees(*site.query.position);
    auto plan = TRY(demand_plan(climate, set.zones, set.rules, set.price, set.setup));
    std::vector<MeterPeriod> meter;
    if (set.meter) meter = meter_comparison(*set.meter, plan, set.setup.season);
    return DemandReport{std::move(site), std::move(set), std::move(plan), std::move(meter)};
}

}  // namespace thirstline
