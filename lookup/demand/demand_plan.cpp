#include "lookup/demand/demand_plan.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <utility>

#include "lookup/demand/controller_curve.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/demand_cautions.hpp"
#include "lookup/demand/demand_checks.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/net_need.hpp"
#include "lookup/demand/new_planting.hpp"
#include "lookup/demand/plan_assumptions.hpp"
#include "lookup/demand/site_totals.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/year_schedule.hpp"
#include "lookup/demand/zone_numbers.hpp"

namespace thirstline {
namespace {

/// Depths below this are nothing but rounding.
constexpr double kTraceMm = 1e-9;

ZoneMonth zone_month(const ZoneDemand& demand, const ZoneYearSchedule& schedule, std::size_t m,
                     const LocalRules& rules) {
    const ZoneNumbers& numbers = demand.numbers;
    const MonthNeed& need = demand.need.months[m];
    const ZoneRuns& runs = schedule.runs[m];
    ZoneMonth month;
    month.need_mm = need.need_mm;
    month.effective_rain_mm = need.effective_rain_mm;
    month.net_mm = need.net_mm;
    month.gross_mm = schedule.gross_mm[m];
    month.applied_mm = schedule.applied_mm[m];
    const double short_mm = month.gross_mm - month.applied_mm;
    month.short_mm = short_mm > kTraceMm ? short_mm : 0.0;
    month.interval_days = schedule.interval_days[m];
    month.dormant = numbers.dormant[m];
    month.volume_l = month.applied_mm * numbers.counted_area_m2;
    if (numbers.plants)
        month.l_per_plant_per_day = month.volume_l / *numbers.plants / kDaysInMonth[m];
    if (runs.cycles.count == 0) return month;
    month.days_per_week = runs.days.days_in_month * kDaysPerWeek / kDaysInMonth[m];
    month.minutes_per_week = runs.minutes_a_day * month.days_per_week;
    month.cycles_per_day = runs.cycles.count;
    month.minutes_per_cycle = runs.cycles.minutes_each;
    month.soak_minutes = runs.cycles.soak_minutes;
    month.day_names = day_pattern_name(runs.days, rules.allowed_days.rule);
    return month;
}

/// Shares of the peak, once all months are known.
void set_shares(ZonePlan& zone, const ZoneDemand& demand, const ZoneYearSchedule& schedule) {
    if (!demand.need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*demand.need.peak_month_index);
    const double peak_mm_per_day = demand.need.months[peak].net_mm_per_day;
    const double base_minutes = schedule.runs[peak].minutes_a_day;
    for (std::size_t m = 0; m < kMonths; ++m) {
        ZoneMonth& month = zone.months[m];
        month.percent_of_peak_need =
            m == peak ? 100.0 : demand.need.months[m].net_mm_per_day / peak_mm_per_day * 100.0;
        if (base_minutes > 0.0) {
            month.percent_of_base_run = schedule.runs[m].minutes_a_day / base_minutes * 100.0;
        }
    }
    const ZoneMonth& at_peak = zone.months[peak];
    zone.base_run = {base_minutes,         at_peak.cycles_per_day, at_peak.minutes_per_cycle,
                     at_peak.soak_minutes, at_peak.days_per_week,  at_peak.day_names};
}

void set_peak(ZonePlan& zone, const ZoneDemand& demand, const SiteClimate& climate) {
    if (!demand.need.peak_month_index) return;
    const int peak = *demand.need.peak_month_index;
    zone.peak_need_month = peak + 1;
    zone.peak_net_se_mm = net_need_se_mm(demand.numbers, climate, peak, 0.0);
    if (!zone.peak_net_se_mm) return;
    zone.cautious_peak_net_mm = demand.need.months[static_cast<std::size_t>(peak)].net_mm +
                                kEightiethPercentile * *zone.peak_net_se_mm;
}

ZonePlan zone_plan(const Zone& zone, const ZoneDemand& demand, ZoneYearSchedule schedule,
                   const SiteClimate& climate, const LocalRules& rules) {
    const ZoneNumbers& numbers = demand.numbers;
    ZonePlan plan;
    plan.name = zone.name;
    plan.assumed = numbers.assumed;
    plan.counted_area_m2 = numbers.counted_area_m2;
    plan.rate_mm_per_h = numbers.rate_mm_per_h;
    plan.flow_l_per_min = numbers.flow_l_per_min;
    plan.gross_per_net = numbers.gross_per_net;
    plan.usable_storage_mm = numbers.usable_storage_mm;
    plan.longest_cycle_minutes = longest_cycle_minutes(numbers.surface, numbers.rate_mm_per_h);
    plan.rain_shutoff_mm = rain_shutoff_mm(numbers.usable_storage_mm);
    for (std::size_t m = 0; m < kMonths; ++m) {
        plan.months[m] = zone_month(demand, schedule, m, rules);
        plan.volume_l += plan.months[m].volume_l;
    }
    Assumptions of_months = month_assumptions(demand, schedule);
    std::move(of_months.begin(), of_months.end(), std::back_inserter(plan.assumed));
    set_peak(plan, demand, climate);
    set_shares(plan, demand, schedule);
    plan.conflicts = std::move(schedule.conflicts);
    if (!zone.new_planting) return plan;
    NewPlantingRuns own_runs = new_planting_runs(*zone.new_planting, plan, rules);
    plan.new_planting = std::move(own_runs.plan);
    std::move(own_runs.conflicts.begin(), own_runs.conflicts.end(),
              std::back_inserter(plan.conflicts));
    return plan;
}

double peak_net_mm_per_day(const ZonePlan& zone) {
    if (!zone.peak_need_month) return 0.0;
    const auto peak = static_cast<std::size_t>(*zone.peak_need_month - 1);
    return zone.months[peak].net_mm / kDaysInMonth[peak];
}

void set_thirstiest(SitePlan& site, const std::vector<ZonePlan>& zones) {
    double greatest_mm_per_day = 0.0;
    for (const ZonePlan& zone : zones) {
        site.rain_shutoff_mm = std::max(site.rain_shutoff_mm, zone.rain_shutoff_mm);
        const double need_mm_per_day = peak_net_mm_per_day(zone);
        if (need_mm_per_day <= greatest_mm_per_day) continue;
        greatest_mm_per_day = need_mm_per_day;
        site.thirstiest_zone = zone.name;
        site.peak_need_month = zone.peak_need_month;
    }
}

}  // namespace

Result<DemandPlan> demand_plan(const SiteClimate& climate, const std::vector<Zone>& zones,
                               const LocalRules& rules, const std::optional<WaterPrice>& price) {
    TRY(check_climate(climate));
    TRY(check_zones(zones));
    TRY(check_local_rules(rules));
    if (price) {
        TRY(check_water_price(*price));
    }

    std::vector<ZoneDemand> demands;
    for (const Zone& zone : zones) {
        Result<ZoneNumbers> numbers = zone_numbers(zone, climate);
        if (!numbers) return fail(numbers.error());
        const YearNeed need = year_need(*numbers, climate);
        demands.push_back({std::move(*numbers), need});
    }
    YearSchedule schedule = year_schedule(demands, rules);

    DemandPlan plan;
    std::vector<ZoneNumbers> numbers;
    for (std::size_t z = 0; z < zones.size(); ++z) {
        plan.zones.push_back(
            zone_plan(zones[z], demands[z], std::move(schedule.zones[z]), climate, rules));
        numbers.push_back(demands[z].numbers);
    }
    set_thirstiest(plan.site, plan.zones);
    plan.site.curve = controller_curve(plan.zones);
    if (schedule.longest_night_minutes > 0.0) {
        plan.site.longest_night_minutes = schedule.longest_night_minutes;
    }
    add_totals(plan, price);
    plan.site.assumed = site_assumptions(plan, price);
    plan.cautions = demand_cautions(climate, zones, numbers, rules);
    return plan;
}

}  // namespace thirstline
