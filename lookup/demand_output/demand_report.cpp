#include "lookup/demand_output/demand_report.hpp"

#include <algorithm>
#include <utility>

#include "lookup/demand/climate_of_profile.hpp"
#include "lookup/demand/demand_plan.hpp"

namespace thirstline {

ReferenceCrop reference_crop(const Baseline& baseline) {
    return baseline.reference == "tall" ? ReferenceCrop::tall_crop : ReferenceCrop::short_grass;
}

namespace {

Result<DemandPlan> plan_of(const SiteProfile& profile, const SiteReport& site, const ZoneSet& set) {
    auto climate = TRY(climate_of_profile(profile, reference_crop(site.baseline)));
    if (site.query.position) climate.at = to_degrees(*site.query.position);
    return demand_plan(climate, set.zones, set.rules, set.price, set.setup);
}

/// Of the need: by the year's allowance, or by the months' if that leaves more uncovered.
std::optional<double> allowance_short_l(const DemandPlan& plan, const LocalRules& rules) {
    if (!rules.yearly_allowance_l && !rules.monthly_allowance_l) return std::nullopt;
    double of_months_l = 0.0;
    for (std::size_t m = 0; m < kMonths && rules.monthly_allowance_l; ++m) {
        double need_l = 0.0;
        for (const ZonePlan& zone : plan.zones)
            need_l += zone.months[m].gross_mm * zone.counted_area_m2;
        of_months_l += std::max(0.0, need_l - *rules.monthly_allowance_l);
    }
    const double of_year_l =
        plan.site.need.volume_l - rules.yearly_allowance_l.value_or(plan.site.need.volume_l);
    return std::max({0.0, of_months_l, of_year_l});
}

}  // namespace

Result<DemandReport> demand_report(SiteReport site, ZoneSet set) {
    auto plan = TRY(plan_of(site.profile, site, set));
    std::optional<YearNeeds> years;
    if (site.years) {
        const auto normals = TRY(plan_of(site.years->normals, site, set));
        const auto dry = TRY(plan_of(site.years->dry, site, set));
        years = YearNeeds{normals.site.need, dry.site.need, allowance_short_l(dry, set.rules)};
    }
    std::vector<MeterPeriod> meter;
    if (set.meter) meter = meter_comparison(*set.meter, plan, set.setup.season);
    return DemandReport{std::move(site), std::move(set), std::move(plan), std::move(meter), years};
}

}  // namespace thirstline
