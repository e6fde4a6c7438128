// Text of the conflicts between rules and need.
#pragma once

#include <string>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/plan.hpp"

namespace thirstline {

/// What a zone does not get in a month.
struct Missing {
    int month_index = 0;  ///< 0 to 11
    double gross_mm = 0.0;
    double rate_mm_per_h = 0.0;
    double days_in_month = 0.0;  ///< watering days; 0 if there are none
};

/// Sets the amounts and their text, and replaces earlier ones.
void state_missing(Conflict& conflict, const Missing& missing);

/// Settings that are below the need because of the controller's steps.
[[nodiscard]] Conflict rounding_conflict(const Missing& missing, const LocalRules& rules,
                                         const Controller& controller);

/// A program's percentage that leaves a zone short.
[[nodiscard]] Conflict percentage_conflict(const Missing& missing);

[[nodiscard]] Conflict flow_conflict(const Missing& missing, double zone_l_per_min,
                                     double site_l_per_min);
[[nodiscard]] Conflict weekly_depth_conflict(const Missing& missing, double cap_mm,
                                             double wanted_mm_a_week);
/// For the lowest limit on cycles.
[[nodiscard]] Conflict runs_cap_conflict(const Missing& missing, CyclesCap cap,
                                         const Controller& controller);
[[nodiscard]] Conflict minutes_cap_conflict(const Missing& missing, double most_minutes_a_day);
[[nodiscard]] Conflict root_zone_conflict(const Missing& missing, double root_zone_mm);
/// `rule` is "monthly_allowance" or "yearly_allowance"; `more_l` is the shortfall of the whole
/// site.
[[nodiscard]] Conflict allowance_conflict(const Missing& missing, const char* rule, double more_l);
[[nodiscard]] Conflict window_conflict(const Missing& missing, const MonthSchedule& schedule,
                                       const LocalRules& rules);

/// An interval longer than the soil's storage lasts. `need_mm_per_day` above 0; `could_be_kept`:
/// other days that the rules allow would be short enough without the cap on runs.
[[nodiscard]] Conflict dry_soil_conflict(int month_index, const ZoneTask& task,
                                         const ZoneRuns& runs, double need_mm_per_day,
                                         const LocalRules& rules, bool could_be_kept);

}  // namespace thirstline
