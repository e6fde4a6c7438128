#include "lookup/demand/site_totals.hpp"

#include <cstddef>
#include <numeric>

namespace thirstline {
namespace {

YearTotals totals_of(const Monthly<double>& litres, const std::optional<WaterPrice>& price) {
    YearTotals totals;
    totals.volume_l = std::accumulate(litres.begin(), litres.end(), 0.0);
    if (price) totals.cost = water_cost(*price, litres).watering;
    return totals;
}

Monthly<double> planned_l(const std::vector<ZonePlan>& zones) {
    Monthly<double> litres{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        for (const ZonePlan& zone : zones) litres[m] += zone.months[m].volume_l;
    }
    return litres;
}

void share_cost(std::vector<ZonePlan>& zones, const Monthly<double>& litres,
                const Monthly<double>& cost) {
    for (ZonePlan& zone : zones) {
        zone.cost = 0.0;
        for (std::size_t m = 0; m < kMonths; ++m) {
            ZoneMonth& month = zone.months[m];
            month.cost = litres[m] > 0.0 ? cost[m] * month.volume_l / litres[m] : 0.0;
            *zone.cost += *month.cost;
        }
    }
}

}  // namespace

Monthly<double> fixed_schedule_l(const std::vector<ZonePlan>& zones, FixedSchedule schedule) {
    Monthly<double> litres{};
    for (const ZonePlan& zone : zones) {
        if (!zone.peak_need_month) continue;
        const auto peak = static_cast<std::size_t>(*zone.peak_need_month - 1);
        const double l_per_day = zone.months[peak].volume_l / kDaysInMonth[peak];
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (schedule == FixedSchedule::all_season && zone.months[m].net_mm <= 0.0) continue;
            litres[m] += l_per_day * kDaysInMonth[m];
        }
    }
    return litres;
}

void add_totals(DemandPlan& plan, const std::optional<WaterPrice>& price) {
    const Monthly<double> litres = planned_l(plan.zones);
    SitePlan& site = plan.site;
    site.year = totals_of(litres, price);
    site.fixed_all_season =
        totals_of(fixed_schedule_l(plan.zones, FixedSchedule::all_season), price);
    site.fixed_all_year = totals_of(fixed_schedule_l(plan.zones, FixedSchedule::all_year), price);
    site.saving.volume_l = site.fixed_all_season.volume_l - site.year.volume_l;
    if (!price) return;
    const WaterCost cost = water_cost(*price, litres);
    site.saving.cost = *site.fixed_all_season.cost - *site.year.cost;
    site.fixed_charges = cost.fixed;
    share_cost(plan.zones, litres, cost.watering_by_month);
}

}  // namespace thirstline
