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

std::string days_text(int days) {
    return std::to_string(days) + (days == 1 ? " day" : " days");
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

Conflict conflict_of(const Missing& missing, const char* rule, std::string remedy) {
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
    conflict.short_by = missing.days_in_month > 0.0
                            ? minutes_text(minutes / missing.days_in_month) + "/day, "
                            : minutes_text(conflict.short_minutes_per_week) + "/week, ";
    conflict.short_by += depth_text(missing.gross_mm) + " for the month";
}

Conflict rounding_conflict(const Missing& missing, const LocalRules& rules,
                           const Controller& controller) {
    if (rules.weekly_depth_cap_mm)
        return conflict_of(missing, "weekly_depth_cap", "watering days spread over the week");
    return conflict_of(missing, "minute_step",
                       "run times in steps finer than " + minutes_text(controller.minute_step) +
                           ", or sprinklers of a lower rate");
}

Conflict percentage_conflict(const Missing& missing) {
    return conflict_of(missing, "percentage",
                       "the month-by-month settings, or a program of its own for this zone");
}

Conflict flow_conflict(const Missing& missing, double zone_l_per_min, double site_l_per_min) {
    return conflict_of(missing, "flow",
                       "split the zone: it uses " + flow_text(zone_l_per_min) + ", and " +
                           flow_text(site_l_per_min) + " is available");
}

Conflict weekly_depth_conflict(const Missing& missing, double cap_mm, double wanted_mm_a_week) {
    return conflict_of(missing, "weekly_depth_cap",
                       depth_text(wanted_mm_a_week) + " per week instead of " + depth_text(cap_mm) +
                           ", better uniformity, or plants of lower water use");
}

Conflict runs_cap_conflict(const Missing& missing, CyclesCap cap, const Controller& controller) {
    const std::string lower_rate = ", or sprinklers of a lower rate, which allow longer cycles";
    if (cap == CyclesCap::cycles_per_day) {
        return conflict_of(missing, "cycles_per_day_cap",
                           "more cycles per day, more watering days" + lower_rate);
    }
    if (cap == CyclesCap::controller) {
        const char* const key = controller.cycles_possible ? "start_times" : "cycles_possible";
        return conflict_of(missing, key,
                           "a controller with more start times, more watering days" + lower_rate);
    }
    return conflict_of(missing, "runs_per_week_cap", "more cycles per week" + lower_rate);
}

Conflict minutes_cap_conflict(const Missing& missing, double most_minutes_a_day) {
    return conflict_of(missing, "minutes_per_day_cap",
                       "more than " + minutes_text(most_minutes_a_day) +
                           " per day, more watering days, or better uniformity");
}

Conflict root_zone_conflict(const Missing& missing, double root_zone_mm) {
    return conflict_of(missing, "soil",
                       "more watering days: the root zone holds " + depth_text(root_zone_mm) +
                           "; anything above that drains below the roots");
}

Conflict allowance_conflict(const Missing& missing, const char* rule, double more_l) {
    return conflict_of(missing, rule,
                       volume_text(more_l) +
                           " more for the site, or less turf and plants of lower "
                           "water use");
}

Conflict window_conflict(const Missing& missing, const MonthSchedule& schedule,
                         const LocalRules& rules) {
    const WaterWindow hours = water_window(rules);
    const double minutes = window_minutes(rules);
    std::string help;
    if (schedule.wanted_night_minutes <= kMinutesPerDay) {
        help = "a water window of " + duration_text(schedule.wanted_night_minutes) +
               " instead of " + duration_text(minutes);
    } else {
        help = "zones on different days";
    }
    const bool has_more_days = rules.allowed_days.rule != DayRule::any || rules.days_per_week_cap;
    if (has_more_days) help += ", or one more watering day per week";
    if (schedule.wanted_open_minutes <= minutes) {
        help += "; soak time takes most of the window, so sprinklers of a lower rate also help";
    }
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
    conflict.short_by = days_text(gap - interval) + ": the soil lasts " + days_text(interval) +
                        ", the longest interval is " + days_text(gap) + ", and depletion is " +
                        depth_text(drawn_mm) + " more than allowed";
    const std::string soil_help = "deeper rooting or soil amendment";
    if (could_be_kept) {
        conflict.rule = "runs_per_week_cap";
        conflict.remedy = "more cycles per week, or sprinklers of a lower rate; " + soil_help;
        return conflict;
    }
    if (interval == 0) {
        conflict.rule =
            gap > 1 ? (cap_binds(rules) ? "days_per_week_cap" : "allowed_days") : "soil";
        conflict.remedy = gap > 1 ? "daily watering, twice a day in hot weather; " + soil_help
                                  : "a second watering each day in hot weather; " + soil_help;
        return conflict;
    }
    conflict.rule = cap_binds(rules) ? "days_per_week_cap" : "allowed_days";
    const int days_needed = (kWeekdays + interval - 1) / interval;
    conflict.remedy = goes_by_date(rules.allowed_days.rule) && interval == 2
                          ? "an extra watering on the last or first day of the month"
                          : std::to_string(days_needed) +
                                (days_needed == 1 ? " watering day" : " watering days") +
                                " per week, evenly spaced";
    conflict.remedy += "; " + soil_help;
    return conflict;
}

}  // namespace thirstline
