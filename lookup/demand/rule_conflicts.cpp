#include "lookup/demand/rule_conflicts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/water_window.hpp"
#include "schema/base/calendar.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr double kMinutesPerDay = 24.0 * kMinutesPerHour;

Phrase days_phrase(int days) {
    if (days == 0) return "days.less_than_one"_text;
    return days == 1 ? Phrase("days.one"_text)
                     : Phrase("days.many"_text, {{"count", std::to_string(days)}});
}

int allowed_weekdays(const LocalRules& rules) {
    if (rules.allowed_days.rule == DayRule::any) return kWeekdays;
    const auto& weekdays = rules.allowed_days.weekdays;
    return static_cast<int>(std::count(weekdays.begin(), weekdays.end(), true));
}

/// Whether the cap on days a week is what prevents more watering days for a zone.
bool cap_binds(const LocalRules& rules) {
    if (!rules.days_per_week_cap) return false;
    const int without_cap = goes_by_date(rules.allowed_days.rule) ? 4 : allowed_weekdays(rules);
    return *rules.days_per_week_cap < without_cap;
}

Conflict conflict_of(const Missing& missing, const char* rule, Phrase remedy) {
    Conflict conflict;
    conflict.month = missing.month_index + 1;
    conflict.rule = rule;
    conflict.remedy = std::move(remedy);
    state_missing(conflict, missing);
    return conflict;
}

}  // namespace

void state_missing(Conflict& conflict, const Missing& missing) {
    const double minutes = run_minutes(missing.gross_mm, missing.rate_mm_per_h);
    const double month_days = kDaysInMonth[static_cast<std::size_t>(missing.month_index)];
    conflict.short_mm = missing.gross_mm;
    conflict.short_minutes_per_week = minutes * kDaysPerWeek / month_days;
    const Phrase depth = depth_phrase(missing.gross_mm);
    conflict.short_by =
        missing.days_in_month > 0.0
            ? Phrase("short.per_day"_text,
                     {{"minutes", minutes_text(minutes / missing.days_in_month)}, {"depth", depth}})
            : Phrase(
                  "short.per_week"_text,
                  {{"minutes", minutes_text(conflict.short_minutes_per_week)}, {"depth", depth}});
}

Conflict rounding_conflict(const Missing& missing, const LocalRules& rules,
                           const Controller& controller) {
    if (rules.weekly_depth_cap_mm)
        return conflict_of(missing, "weekly_depth_cap", "remedy.spread_days"_text);
    return conflict_of(
        missing, "minute_step",
        {"remedy.finer_minutes"_text, {{"minutes", minutes_text(controller.minute_step)}}});
}

Conflict percentage_conflict(const Missing& missing) {
    return conflict_of(missing, "percentage", "remedy.own_program"_text);
}

Conflict flow_conflict(const Missing& missing, double zone_l_per_min, double site_l_per_min) {
    return conflict_of(
        missing, "flow",
        {"remedy.split_zone"_text,
         {{"used", flow_phrase(zone_l_per_min)}, {"available", flow_phrase(site_l_per_min)}}});
}

Conflict weekly_depth_conflict(const Missing& missing, double cap_mm, double wanted_mm_a_week) {
    return conflict_of(
        missing, "weekly_depth_cap",
        {"remedy.weekly_depth"_text,
         {{"wanted", depth_phrase(wanted_mm_a_week)}, {"cap", depth_phrase(cap_mm)}}});
}

Conflict runs_cap_conflict(const Missing& missing, CyclesCap cap, const Controller& controller) {
    if (cap == CyclesCap::cycles_per_day)
        return conflict_of(missing, "cycles_per_day_cap", "remedy.cycles_per_day"_text);
    if (cap == CyclesCap::controller) {
        const char* const key = controller.cycles_possible ? "start_times" : "cycles_possible";
        return conflict_of(missing, key, "remedy.start_times"_text);
    }
    return conflict_of(missing, "runs_per_week_cap", "remedy.cycles_per_week"_text);
}

Conflict minutes_cap_conflict(const Missing& missing, double most_minutes_a_day) {
    return conflict_of(
        missing, "minutes_per_day_cap",
        {"remedy.minutes_per_day"_text, {{"minutes", minutes_text(most_minutes_a_day)}}});
}

Conflict root_zone_conflict(const Missing& missing, double root_zone_mm) {
    return conflict_of(missing, "soil",
                       {"remedy.root_zone"_text, {{"depth", depth_phrase(root_zone_mm)}}});
}

Conflict allowance_conflict(const Missing& missing, const char* rule, double more_l) {
    return conflict_of(missing, rule,
                       {"remedy.allowance"_text, {{"volume", volume_phrase(more_l)}}});
}

Conflict window_conflict(const Missing& missing, const MonthSchedule& schedule,
                         const LocalRules& rules) {
    const WaterWindow hours = water_window(rules);
    const double minutes = window_minutes(rules);
    Phrase help = "remedy.zones_apart"_text;
    if (schedule.wanted_night_minutes <= kMinutesPerDay) {
        help = {"remedy.window"_text,
                {{"wanted", duration_text(schedule.wanted_night_minutes)},
                 {"now", duration_text(minutes)}}};
    }
    const bool has_more_days = rules.allowed_days.rule != DayRule::any || rules.days_per_week_cap;
    if (has_more_days) help = {"remedy.or_one_more_day"_text, {{"remedy", help}}};
    if (schedule.wanted_open_minutes <= minutes)
        help = {"remedy.soak_takes_window"_text, {{"remedy", help}}};
    return conflict_of(missing, hours.is_cut_by_barred_hours ? "barred_hours" : "window_hours",
                       std::move(help));
}

Conflict dry_soil_conflict(int month_index, const ZoneTask& task, const ZoneRuns& runs,
                           double need_mm_per_day, const LocalRules& rules, bool could_be_kept) {
    const int interval = task.interval_days.value_or(0);
    const int gap = runs.days.longest_gap_days;
    const double drawn_mm = gap * need_mm_per_day - task.usable_storage_mm;
    Conflict conflict;
    conflict.month = month_index + 1;
    conflict.drawn_mm = drawn_mm;
    conflict.short_by = {"short.interval"_text,
                         {{"lasts", days_phrase(interval)},
                          {"gap", days_phrase(gap)},
                          {"depth", depth_phrase(drawn_mm)}}};
    const auto or_soil = [](Phrase remedy) {
        return Phrase("remedy.or_soil"_text, {{"remedy", std::move(remedy)}});
    };
    if (could_be_kept) {
        conflict.rule = "runs_per_week_cap";
        conflict.remedy = or_soil("remedy.more_cycles"_text);
        return conflict;
    }
    if (interval == 0) {
        conflict.rule =
            gap > 1 ? (cap_binds(rules) ? "days_per_week_cap" : "allowed_days") : "soil";
        conflict.remedy = or_soil(gap > 1 ? "remedy.daily"_text : "remedy.second_watering"_text);
        return conflict;
    }
    conflict.rule = cap_binds(rules) ? "days_per_week_cap" : "allowed_days";
    const int days_needed = (kWeekdays + interval - 1) / interval;
    Phrase days = days_needed == 1 ? Phrase("remedy.one_day_per_week"_text)
                                   : Phrase("remedy.days_per_week"_text,
                                            {{"count", std::to_string(days_needed)}});
    if (goes_by_date(rules.allowed_days.rule) && interval == 2) days = "remedy.month_end"_text;
    conflict.remedy = or_soil(std::move(days));
    return conflict;
}

}  // namespace thirstline
