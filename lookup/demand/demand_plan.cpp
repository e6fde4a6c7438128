#include "lookup/demand/demand_plan.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <string>
#include <utility>

#include "lookup/demand/controller_curve.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/demand_cautions.hpp"
#include "lookup/demand/demand_checks.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/net_need.hpp"
#include "lookup/demand/new_planting.hpp"
#include "lookup/demand/quantity_text.hpp"
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

/// A share of the peak's need that rain could cover, from which on it must be said that it does
/// not.
constexpr double kNotableRainShare = 0.1;

void tell_uncredited_rain(ZonePlan& zone, const YearNeed& need) {
    if (!need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*need.peak_month_index);
    if (need.uncredited_rain_mm < kNotableRainShare * need.months[peak].need_mm) return;
    zone.assumed.push_back(
        {"rain not credited in the peak month",
         depth_text(need.uncredited_rain_mm) + " that would help on average",
         "so the peak month stands out among wet ones; rain_credit = \"scs\" treats all months "
         "alike, and leaves a dry spell to you",
         Standing::own_choice});
}

void set_peak(ZonePlan& zone, const ZoneDemand& demand, const SiteClimate& climate) {
    if (!demand.need.peak_month_index) return;
    const int peak = *demand.need.peak_month_index;
    zone.peak_need_month = peak + 1;
    zone.peak_net_se_mm = net_need_se_mm(demand.numbers, climate, peak, true);
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
    tell_uncredited_rain(plan, demand.need);
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

Assumptions site_assumptions(const DemandPlan& plan, const std::optional<WaterPrice>& price) {
    Assumptions assumed{
        {"share of peak",
         "of net need a day, rounded up to steps of " + std::to_string(kPercentStep) +
             " % to enter",
         "months differ in length, and a controller is set by the week; the step is what most "
         "controllers take",
         Standing::common_practice},
        {"one percentage for all zones", "each month's greatest share of any zone",
         "so that none gets too little", Standing::own_choice},
        {"zones", "one at a time, in the order given, each cycle in its turn",
         "one valve open at once keeps pressure and flow as designed", Standing::common_practice},
        {"fixed schedule", "each zone's peak runs in every month in which it has a need",
         "the plainer claim; the same in all twelve months is given beside it",
         Standing::own_choice},
        {"rain shut-off",
         "half the usable storage, from 3 to 19 mm; for one sensor the greatest of "
         "the zones'",
         "between waterings the soil is half drawn down on average; the range is what such sensors "
         "can be set to (common practice)",
         Standing::own_choice},
    };
    const bool knows_errors = std::any_of(plan.zones.begin(), plan.zones.end(),
                                          [](const ZonePlan& z) { return z.peak_net_se_mm; });
    if (knows_errors) {
        assumed.push_back(
            {"uncertainty of the peak need",
             "from the errors of the mean ETo and rain alone, taken as independent; cautious: the "
             "80th percentile of the mean, not a dry year",
             "the file does not tell how its two errors go together; where a peak has no rain "
             "credit it does not matter; the plant's coefficient has an error of its own",
             Standing::own_choice});
    }
    if (price) {
        assumed.push_back({"cost of watering", "what it adds to the bills, without fixed charges",
                           "indoor use fills the tiers first, and fixed charges are due anyway",
                           Standing::own_choice});
        if (price->sewer_share > 0.0) {
            assumed.push_back({"sewer",
                               percent_text(price->sewer_share) +
                                   " of the charge for water by volume, added to it",
                               "as stated; many suppliers waive it for watering",
                               Standing::common_practice});
        }
    }
    const bool has_new_planting = std::any_of(plan.zones.begin(), plan.zones.end(),
                                              [](const ZonePlan& z) { return z.new_planting; });
    if (has_new_planting) {
        assumed.push_back({"new planting", "its own runs are in no sum of the year",
                           "they end on a date, and the monthly plan is that of a year without "
                           "them; count them apart against an allowance and the night's window",
                           Standing::own_choice});
    }
    return assumed;
}

}  // namespace

Result<DemandPlan> demand_plan(const SiteClimate& climate, const std::vector<Zone>& zones,
                               const LocalRules& rules, const std::optional<WaterPrice>& price) {
    if (auto checked = check_climate(climate); !checked) return fail(checked.error());
    if (auto checked = check_zones(zones); !checked) return fail(checked.error());
    if (auto checked = check_local_rules(rules); !checked) return fail(checked.error());
    if (price) {
        if (auto checked = check_water_price(*price); !checked) return fail(checked.error());
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
