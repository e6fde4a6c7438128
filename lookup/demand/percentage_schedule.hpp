// The year by percentage: a base run for each zone, and for each program of the controller one
// percentage a month, which scales the run times and does not change days and cycles.
//
// Zones are grouped into programs by the course of their need over the year: as few programs as
// keep the excess of the year below kProgramExcess, at most as many as the controller has. Base
// runs and percentages are chosen together, in whole steps, so that no month gets less than
// kMinShareOfNeed of its target and the year deviates least from it.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/plan.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Share of a program's water by which the zones of one program may together exceed their need
/// before another program is used. Our own rule.
inline constexpr double kProgramExcess = 0.03;

struct PercentageTask {
    Monthly<ZoneTask> tasks;            ///< of each month, with the caps of its rules
    Monthly<DayLimits> day_limits;      ///< of the rules that apply to the zone
    std::size_t base_month = 0;         ///< index of the month of the base run
    Monthly<double> minutes_a_day{};    ///< as scheduled month by month
    std::optional<ZoneRuns> peak_runs;  ///< as scheduled; empty or without cycles: never on
    double area_m2 = 0.0;
    std::optional<int> program;   ///< as set by the owner
    Monthly<double> target_mm{};  ///< gross, within the season, as far as the rules allow
    Monthly<bool> is_on{};
};

struct ZonePercentages {
    int program = 0;              ///< 1 or more; 0: never on
    DayPattern days;              ///< of the base run, in its month
    Monthly<DayPattern> days_of;  ///< of each month, as its rules allow
    Cycles base;
    Monthly<std::vector<double>> starts;  ///< of cycles, as in NightLayout
    Monthly<PercentageMonth> months;      ///< percent, days and applied depth
};

struct PercentageProgram {
    Monthly<int> percent{};
    Monthly<std::optional<std::size_t>> set_by;  ///< index of the zone of the highest need
};

struct PercentageSchedule {
    std::vector<ZonePercentages> zones;  ///< in the order of the tasks
    std::vector<PercentageProgram> programs;
    Monthly<double> night_minutes{};  ///< of the layout of each month's nights
};

/// `rules`: of each month. If they do not allow the days of the base run, the program changes to
/// days that they allow for that month.
[[nodiscard]] PercentageSchedule percentage_schedule(const std::vector<PercentageTask>& tasks,
                                                     const Monthly<LocalRules>& rules,
                                                     const Controller& controller,
                                                     const Monthly<double>& season_share);

}  // namespace thirstline
