#include "lookup/demand_output/demand_report.hpp"

#include <utility>

#include "lookup/demand/climate_of_profile.hpp"
#include "lookup/demand/demand_plan.hpp"

namespace thirstline {

ReferenceSurface reference_surface(const Baseline& baseline) {
    return baseline.reference == "tall" ? ReferenceSurface::tall_crop
                                        : ReferenceSurface::short_grass;
}

Result<DemandReport> demand_report(SiteReport site, ZoneSet set) {
    const auto climate = climate_of_profile(site.profile, reference_surface(site.baseline));
    if (!climate) return fail(climate.error());
    auto plan = demand_plan(*climate, set.zones, set.rules, set.price);
    if (!plan) return fail(std::move(plan.error()));
    return DemandReport{std::move(site), std::move(set), std::move(*plan)};
}

}  // namespace thirstline
