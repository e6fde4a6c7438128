#include "lookup/demand/rule_conflicts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/quantity_text.hpp"
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

/// Is it the cap on days a week that keeps a zone from being watered more often?
bool cap_binds(const LocalRules& rules) {
    if (!rules.days_per_week_cap) return false;
    const int without_cap = goes_by_date(rules.allowed_days.rule) ? 4 : allowed_weekdays(rules);
    return *rules.days_per_week_cap < without_cap;
}

Conflict conflict_of(const Missing& missing, const char* rule, std::string would_help) {
    const double minutes = run_minutes(missing.gross_mm, missing.rate_mm_per_h);
    const double month_days = kDaysInMonth[static_cast<std::size_t>(missing.month_index)];
    Conflict conflict;
    conflict.month = missing.month_index + 1;
    conflict.rule = rule;
    conflict.short_mm = missing.gross_mm;
    conflict.short_minutes_per_week = minutes * kDaysPerWeek / month_days;
    conflict.short_by = missing.days_in_month > 0.0
                            ? duration_text(minutes / missing.days_in_month) + " a day, "
                            : duration_text(conflict.short_minutes_per_week) + " a week, ";
    conflict.short_by += depth_text(missing.gross_mm) + " in the month";
    conflict.would_help = std::move(would_help);
    return conflict;
}

}  // namespace

Conflict flow_conflict(const Missing& missing, double zone_l_per_min, double site_l_per_min) {
    return conflict_of(missing, "flow",
                       "splitting the zone: it takes " + flow_text(zone_l_per_min) +
                           " and the connection gives " + flow_text(site_l_per_min));
}

Conflict weekly_depth_conflict(const Missing& missing, double cap_mm, double wanted_mm_a_week) {
    return conflict_of(missing, "weekly_depth_cap",
                       depth_text(wanted_mm_a_week) + " a week instead of " + depth_text(cap_mm) +
                           ", better uniformity, or plants that need less");
}

Conflict runs_cap_conflict(const Missing& missing) {
    return conflict_of(missing, "runs_per_week_cap",
                       "more runs a week, or sprinklers of a lower rate, whose runs may be longer");
}

Conflict root_zone_conflict(const Missing& missing, double root_zone_mm) {
    return conflict_of(missing, "soil",
                       "more watering days: the root zone holds " + depth_text(root_zone_mm) +
                           " in all, and more at once drains away");
}

Conflict allowance_conflict(const Missing& missing, const char* rule, double more_l) {
    return conflict_of(missing, rule,
                       volume_text(more_l) +
                           " more for the site, or less lawn and plants that "
                           "need less");
}

Conflict window_conflict(const Missing& missing, const MonthSchedule& schedule,
                         const LocalRules& rules) {
    const double window_minutes = rules.window_hours.value_or(24.0) * kMinutesPerHour;
    std::string help;
    if (schedule.wanted_night_minutes <= kMinutesPerDay) {
        help = "a window of " + duration_text(schedule.wanted_night_minutes) + " instead of " +
               duration_text(window_minutes);
    } else {
        help = "splitting the zones over more days";
    }
    const bool has_more_days = rules.allowed_days.rule != DayRule::any || rules.days_per_week_cap;
    if (has_more_days) help += ", or a further watering day in the week";
    if (schedule.wanted_open_minutes <= window_minutes) {
        help += "; it is the soaking that takes the time, so sprinklers of a lower rate help too";
    }
    return conflict_of(missing, "window_hours", std::move(help));
}

Conflict dry_soil_conflict(int month_index, const ZoneTask& task, const ZoneRuns& runs,
                           double need_mm_per_day, const LocalRules& rules, bool could_be_kept) {
    const int interval = task.interval_days.value_or(0);
    const int gap = runs.days.longest_gap_days;
    const double drawn_mm = gap * need_mm_per_day - task.usable_storage_mm;
    Conflict conflict;
    conflict.month = month_index + 1;
    conflict.short_by = days_text(gap - interval) + ": the soil keeps the plants for " +
                        days_text(interval) + ", the longest wait is " + days_text(gap) +
                        ", and it is drawn " + depth_text(drawn_mm) + " too far";
    const std::string soil_help = "deeper roots or better soil";
    if (could_be_kept) {
        conflict.rule = "runs_per_week_cap";
        conflict.would_help = "more runs a week, or sprinklers of a lower rate; " + soil_help;
        return conflict;
    }
    if (interval == 0) {
        conflict.rule =
            gap > 1 ? (cap_binds(rules) ? "days_per_week_cap" : "allowed_days") : "soil";
        conflict.would_help = gap > 1 ? "watering every day, twice in the heat; " + soil_help
                                      : "a second watering in the heat of the day; " + soil_help;
        return conflict;
    }
    conflict.rule = cap_binds(rules) ? "days_per_week_cap" : "allowed_days";
    const int days_needed = (kWeekdays + interval - 1) / interval;
    conflict.would_help = goes_by_date(rules.allowed_days.rule) && interval == 2
                              ? "a watering at the turn of the month"
                              : std::to_string(days_needed) +
                                    (days_needed == 1 ? " watering day" : " watering days") +
                                    " a week, evenly spread";
    conflict.would_help += "; " + soil_help;
    return conflict;
}

}  // namespace thirstline
