#include "lookup/demand/demand_plan.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <utility>

#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/demand_cautions.hpp"
#include "lookup/demand/demand_checks.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/net_need.hpp"
#include "lookup/demand/new_planting.hpp"
#include "lookup/demand/percentage_schedule.hpp"
#include "lookup/demand/plan_assumptions.hpp"
#include "lookup/demand/rule_conflicts.hpp"
#include "lookup/demand/rules_of_month.hpp"
#include "lookup/demand/season_share.hpp"
#include "lookup/demand/site_totals.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/year_schedule.hpp"
#include "lookup/demand/zone_numbers.hpp"

namespace thirstline {
namespace {

/// Smaller depths are rounding errors.
constexpr double kTraceMm = 1e-9;

/// Excess or shortfall of a month's settings against the need.
struct Balance {
    double short_mm = 0.0;
    double excess_mm = 0.0;
};

Balance balance_of(double applied_mm, double gross_mm) {
    const double excess_mm = applied_mm - gross_mm;
    if (std::fabs(excess_mm) <= kTraceMm) return {};
    return excess_mm > 0.0 ? Balance{0.0, excess_mm} : Balance{-excess_mm, 0.0};
}

Off off_of(const ZoneDemand& demand, const ZoneYearSchedule& schedule, std::size_t m,
           const Monthly<double>& season) {
    if (demand.numbers.dormant[m]) return Off::dormant;
    if (demand.need.months[m].net_mm <= 0.0) return Off::no_need;
    if (season[m] <= 0.0) return Off::out_of_season;
    if (schedule.runs[m].is_too_little) return Off::small_need;
    return schedule.runs[m].cycles.count == 0 ? Off::rules : Off::no;
}

std::vector<double> on_the_clock(std::vector<double> starts, double night_start) {
    for (double& start : starts) start += night_start;
    return starts;
}

ZoneMonth zone_month(const ZoneDemand& demand, const ZoneYearSchedule& schedule, std::size_t m,
                     double night_start, const Monthly<double>& season, bool has_intervals) {
    const ZoneNumbers& numbers = demand.numbers;
    const MonthNeed& need = demand.need.months[m];
    const ZoneRuns& runs = schedule.runs[m];
    ZoneMonth month;
    month.need_mm = need.need_mm;
    month.effective_rain_mm = need.effective_rain_mm;
    month.net_mm = need.net_mm;
    month.gross_mm = schedule.gross_mm[m];
    month.applied_mm = schedule.applied_mm[m];
    const Balance balance = balance_of(month.applied_mm, month.gross_mm);
    month.short_mm = balance.short_mm;
    month.excess_mm = balance.excess_mm;
    month.interval_days = schedule.interval_days[m];
    month.dormant = numbers.dormant[m];
    month.off = off_of(demand, schedule, m, season);
    month.volume_l = month.applied_mm * numbers.counted_area_m2;
    if (season[m] > 0.0) {
        month.wanted_minutes_per_week =
            run_minutes(month.gross_mm / season[m], numbers.rate_mm_per_h) * kDaysPerWeek /
            kDaysInMonth[m];
    }
    if (numbers.plants)
        month.l_per_plant_per_day = month.volume_l / *numbers.plants / kDaysInMonth[m];
    if (runs.cycles.count == 0) return month;
    month.days_per_week = runs.days.days_in_month * kDaysPerWeek / kDaysInMonth[m];
    month.minutes_per_week = runs.minutes_a_day * month.days_per_week;
    month.cycles_per_day = runs.cycles.count;
    month.minutes_per_cycle = runs.cycles.minutes_each;
    month.soak_minutes = runs.cycles.soak_minutes;
    month.days = runs.days;
    month.day_names = day_pattern_name(runs.days, has_intervals);
    month.start_minutes = on_the_clock(schedule.starts[m], night_start);
    return month;
}

/// Shares of the peak, once all months are known.
void set_shares(ZonePlan& zone, const ZoneDemand& demand, const Monthly<double>& season) {
    if (!demand.need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*demand.need.peak_month_index);
    const double peak_mm_per_day = demand.need.months[peak].net_mm_per_day;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (season[m] <= 0.0) continue;
        zone.months[m].percent_of_peak_need =
            m == peak ? 100.0 : demand.need.months[m].net_mm_per_day / peak_mm_per_day * 100.0;
    }
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

ZonePlan zone_plan(const Zone& zone, const ZoneDemand& demand, const ZoneYearSchedule& schedule,
                   const SiteClimate& climate, const Monthly<double>& night_starts,
                   const Monthly<double>& season, bool has_intervals) {
    const ZoneNumbers& numbers = demand.numbers;
    ZonePlan plan;
    plan.name = zone.name;
    plan.assumed = numbers.assumed;
    plan.counted_area_m2 = numbers.counted_area_m2;
    plan.rate_mm_per_h = numbers.rate_mm_per_h;
    plan.flow_l_per_min = numbers.flow_l_per_min;
    plan.gross_per_net = numbers.gross_per_net;
    plan.usable_storage_mm = numbers.usable_storage_mm;
    plan.longest_cycle_minutes =
        longest_cycle_minutes(numbers.surface, numbers.wetted_rate_mm_per_h);
    plan.rain_shutoff_mm = rain_shutoff_mm(numbers.usable_storage_mm);
    for (std::size_t m = 0; m < kMonths; ++m) {
        plan.months[m] = zone_month(demand, schedule, m, night_starts[m], season, has_intervals);
        plan.volume_l += plan.months[m].volume_l;
    }
    Assumptions of_months = month_assumptions(demand, schedule);
    std::move(of_months.begin(), of_months.end(), std::back_inserter(plan.assumed));
    set_peak(plan, demand, climate);
    set_shares(plan, demand, season);
    plan.conflicts = schedule.conflicts;
    return plan;
}

void add_new_planting(ZonePlan& plan, const Zone& zone, const YearRules& rules,
                      const ExemptZones& exempt, const Controller& controller) {
    if (!zone.new_planting) return;
    const auto last_month = static_cast<std::size_t>(zone.new_planting->until.month - 1);
    NewPlantingRuns own_runs = new_planting_runs(
        *zone.new_planting, plan, rules.of(is_exempt_as_new(zone, exempt), last_month), controller);
    plan.new_planting = std::move(own_runs.plan);
    std::move(own_runs.conflicts.begin(), own_runs.conflicts.end(),
              std::back_inserter(plan.conflicts));
}

double peak_net_mm_per_day(const ZonePlan& zone) {
    if (!zone.peak_need_month) return 0.0;
    const auto peak = static_cast<std::size_t>(*zone.peak_need_month - 1);
    return zone.months[peak].net_mm / kDaysInMonth[peak];
}

// --- By percentage -------------------------------------------------------------------------------

/// The part of the need that the rules allow: all of it, unless the month's settings were cut.
double target_mm(const ZoneMonth& month) {
    const bool is_cut = month.applied_mm < kMinShareOfNeed * month.gross_mm;
    return is_cut ? month.applied_mm : month.gross_mm;
}

/// The month of greatest need; if the rules allow no run in it, the month of the longest runs.
std::optional<std::size_t> base_month(const ZoneDemand& demand, const ZoneYearSchedule& schedule) {
    if (!demand.need.peak_month_index) return std::nullopt;
    const auto peak = static_cast<std::size_t>(*demand.need.peak_month_index);
    if (schedule.runs[peak].cycles.count > 0) return peak;
    const auto longest = std::max_element(
        schedule.runs.begin(), schedule.runs.end(),
        [](const ZoneRuns& a, const ZoneRuns& b) { return a.minutes_a_day < b.minutes_a_day; });
    return static_cast<std::size_t>(longest - schedule.runs.begin());
}

PercentageTask percentage_task(const Zone& zone, const ZoneDemand& demand,
                               const ZoneYearSchedule& schedule, const ZonePlan& plan,
                               const YearRules& rules, bool has_intervals) {
    PercentageTask task;
    task.area_m2 = demand.numbers.counted_area_m2;
    task.program = zone.program;
    if (const auto base = base_month(demand, schedule)) {
        task.base_month = *base;
        task.peak_runs = schedule.runs[*base];
    }
    task.tasks = schedule.tasks;
    for (std::size_t m = 0; m < kMonths; ++m) {
        task.target_mm[m] = target_mm(plan.months[m]);
        task.is_on[m] = plan.months[m].off == Off::no;
        task.minutes_a_day[m] = schedule.runs[m].minutes_a_day;
        const LocalRules& of_month = rules.of(demand.is_exempt, m);
        task.day_limits[m] = {of_month.allowed_days, of_month.days_per_week_cap, has_intervals};
    }
    return task;
}

/// Conflict for a percentage that leaves a month short and that no rule explains yet.
void name_shortfall(ZonePlan& zone, std::size_t m) {
    const ZoneMonth& month = zone.months[m];
    if (month.off != Off::no) return;
    if (month.by_percentage.applied_mm >= kMinShareOfNeed * month.gross_mm - kTraceMm) return;
    const bool is_named =
        std::any_of(zone.conflicts.begin(), zone.conflicts.end(), [&](const Conflict& conflict) {
            return conflict.month == static_cast<int>(m) + 1 && conflict.short_mm > 0.0;
        });
    if (is_named) return;
    zone.conflicts.push_back(
        percentage_conflict({static_cast<int>(m), month.by_percentage.short_mm, zone.rate_mm_per_h,
                             month.by_percentage.days_in_month}));
}

void set_percentages(ZonePlan& zone, const ZonePercentages& percentages, std::size_t base_month,
                     const Monthly<double>& night_starts, const std::optional<int>& plants,
                     bool has_intervals) {
    if (percentages.program == 0) return;
    const Cycles& base = percentages.base;
    zone.base_run = {percentages.program,
                     base.count * base.minutes_each,
                     base.count,
                     base.minutes_each,
                     base.soak_minutes,
                     percentages.days.nominal_per_week,
                     base.count > 0 ? day_pattern_name(percentages.days, has_intervals) : Phrase(),
                     on_the_clock(percentages.starts[base_month], night_starts[base_month]),
                     {}};
    if (plants) {
        zone.base_run.l_per_plant =
            applied_depth_mm(zone.base_run.minutes_per_day, zone.rate_mm_per_h) *
            zone.counted_area_m2 / *plants;
    }
    for (std::size_t m = 0; m < kMonths; ++m) {
        ZoneMonth& month = zone.months[m];
        month.by_percentage = percentages.months[m];
        if (month.by_percentage.percent > 0) {
            month.by_percentage.day_names = day_pattern_name(percentages.days_of[m], has_intervals);
            month.by_percentage.start_minutes =
                on_the_clock(percentages.starts[m], night_starts[m]);
        }
        const Balance balance = balance_of(month.by_percentage.applied_mm, month.gross_mm);
        month.by_percentage.short_mm = balance.short_mm;
        month.by_percentage.excess_mm = balance.excess_mm;
        month.by_percentage.volume_l = month.by_percentage.applied_mm * zone.counted_area_m2;
        name_shortfall(zone, m);
    }
}

std::vector<ProgramPlan> program_plans(const PercentageSchedule& schedule,
                                       const std::vector<ZonePlan>& zones, bool has_intervals) {
    std::vector<ProgramPlan> programs;
    for (std::size_t p = 0; p < schedule.programs.size(); ++p) {
        ProgramPlan program;
        program.number = static_cast<int>(p) + 1;
        program.percent = schedule.programs[p].percent;
        for (std::size_t z = 0; z < zones.size(); ++z) {
            if (schedule.zones[z].program != program.number) continue;
            program.zones.push_back(zones[z].name);
            program.day_names = zones[z].base_run.day_names;
            for (std::size_t m = 0; m < kMonths; ++m)
                if (program.percent[m] > 0)
                    program.day_names_of[m] =
                        day_pattern_name(schedule.zones[z].days_of[m], has_intervals);
        }
        for (std::size_t m = 0; m < kMonths; ++m) {
            const auto& by = schedule.programs[p].set_by[m];
            program.set_by[m] = by ? zones[*by].name : "";
        }
        programs.push_back(std::move(program));
    }
    return programs;
}

void add_run(std::optional<NightHours>& night, double start_minutes, double minutes) {
    const double end_minutes = start_minutes + minutes;
    if (!night) night = {start_minutes, end_minutes};
    night->start_minutes = std::min(night->start_minutes, start_minutes);
    night->end_minutes = std::max(night->end_minutes, end_minutes);
}

void set_nights(SitePlan& site, const std::vector<ZonePlan>& zones) {
    for (const ZonePlan& zone : zones) {
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneMonth& month = zone.months[m];
            const PercentageMonth& by = month.by_percentage;
            for (const double start : month.start_minutes)
                add_run(site.nights[m], start, month.minutes_per_cycle);
            for (const double start : by.start_minutes) {
                add_run(site.nights_by_percentage[m], start,
                        zone.base_run.minutes_per_cycle * by.percent / 100.0);
            }
        }
    }
}

/// How the days of both schedules are set on the controller.
DaySettings day_settings(const std::vector<ZonePlan>& zones, const PercentageSchedule& percentages,
                         bool has_intervals) {
    DaySettings settings;
    const auto add = [&](const DayPattern& days) {
        const DaySetting setting = day_setting(days, has_intervals);
        settings.week_intervals |= setting == DaySetting::week_interval;
        settings.date_intervals |= setting == DaySetting::date_interval;
        settings.dates |= setting == DaySetting::dates;
    };
    for (std::size_t z = 0; z < zones.size(); ++z) {
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneMonth& month = zones[z].months[m];
            if (month.cycles_per_day > 0) add(month.days);
            if (month.by_percentage.percent > 0) add(percentages.zones[z].days_of[m]);
        }
    }
    return settings;
}

// --- The site ------------------------------------------------------------------------------------

/// The month of greatest need within the season.
void keep_peak_in_season(YearNeed& need, const Monthly<double>& season) {
    if (!need.peak_month_index || season[static_cast<std::size_t>(*need.peak_month_index)] > 0.0)
        return;
    need.peak_month_index.reset();
    double greatest_mm_per_day = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (season[m] <= 0.0 || need.months[m].net_mm_per_day <= greatest_mm_per_day) continue;
        greatest_mm_per_day = need.months[m].net_mm_per_day;
        need.peak_month_index = static_cast<int>(m);
    }
}

void set_highest_need(SitePlan& site, const std::vector<ZonePlan>& zones) {
    double greatest_mm_per_day = 0.0;
    for (const ZonePlan& zone : zones) {
        site.rain_shutoff_mm = std::max(site.rain_shutoff_mm, zone.rain_shutoff_mm);
        const double need_mm_per_day = peak_net_mm_per_day(zone);
        if (need_mm_per_day <= greatest_mm_per_day) continue;
        greatest_mm_per_day = need_mm_per_day;
        site.highest_need_zone = zone.name;
        site.peak_need_month = zone.peak_need_month;
    }
}

/// When each month's nights begin.
Monthly<double> night_starts(const Monthly<LocalRules>& rules,
                             const Monthly<double>& night_minutes) {
    Monthly<double> starts{};
    for (std::size_t m = 0; m < kMonths; ++m)
        starts[m] = start_of_night(water_window(rules[m]), night_minutes[m]);
    return starts;
}

Result<YearRules> year_rules(const LocalRules& rules) {
    YearRules out;
    out.bound = TRY(rules_by_month(rules));
    std::transform(out.bound.begin(), out.bound.end(), out.exempt.begin(), rules_for_exempt);
    return out;
}

}  // namespace

Result<DemandPlan> demand_plan(const SiteClimate& climate, const std::vector<Zone>& zones,
                               const LocalRules& rules, const std::optional<WaterPrice>& price,
                               const SiteSetup& setup) {
    TRY(check_climate(climate));
    TRY(check_zones(zones));
    TRY(check_local_rules(rules));
    if (price) TRY(check_water_price(*price));

    const YearRules by_month = TRY(year_rules(rules));
    const Monthly<double> season = season_share(setup.season, climate);
    std::vector<ZoneDemand> demands;
    for (const Zone& zone : zones) {
        Result<ZoneNumbers> numbers = zone_numbers(zone, climate);
        if (!numbers) return fail(numbers.error());
        YearNeed need = year_need(*numbers, climate);
        keep_peak_in_season(need, season);
        demands.push_back({std::move(*numbers), need, is_exempt(zone, rules.exempt)});
    }
    const YearSchedule schedule = year_schedule(demands, by_month, setup.controller, season);
    const Monthly<double> starts = night_starts(by_month.bound, schedule.night_minutes);

    const bool has_intervals = setup.controller.interval_days;
    DemandPlan plan;
    std::vector<ZoneNumbers> numbers;
    std::vector<PercentageTask> tasks;
    for (std::size_t z = 0; z < zones.size(); ++z) {
        plan.zones.push_back(zone_plan(zones[z], demands[z], schedule.zones[z], climate, starts,
                                       season, has_intervals));
        add_new_planting(plan.zones.back(), zones[z], by_month, rules.exempt, setup.controller);
        numbers.push_back(demands[z].numbers);
        tasks.push_back(percentage_task(zones[z], demands[z], schedule.zones[z], plan.zones.back(),
                                        by_month, has_intervals));
    }
    const PercentageSchedule percentages =
        percentage_schedule(tasks, by_month.bound, setup.controller, season);
    const Monthly<double> base_starts = night_starts(by_month.bound, percentages.night_minutes);
    for (std::size_t z = 0; z < zones.size(); ++z)
        set_percentages(plan.zones[z], percentages.zones[z], tasks[z].base_month, base_starts,
                        numbers[z].plants, has_intervals);
    plan.site.programs = program_plans(percentages, plan.zones, has_intervals);
    plan.site.day_settings = day_settings(plan.zones, percentages, has_intervals);
    set_nights(plan.site, plan.zones);
    plan.site.season_share = season;
    set_highest_need(plan.site, plan.zones);
    const double longest =
        *std::max_element(schedule.night_minutes.begin(), schedule.night_minutes.end());
    if (longest > 0.0) plan.site.longest_night_minutes = longest;
    add_totals(plan, price, setup);
    plan.site.assumed = site_assumptions(plan, price, setup);
    plan.cautions = demand_cautions(zones, numbers, rules);
    return plan;
}

}  // namespace thirstline
