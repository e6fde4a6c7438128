// The runs of one month for all zones of a site, within the local rules.
//
// Days are chosen so that the soil does not dry out between waterings and that each watering wets
// the roots. If the days that the soil needs make a watering too short for that, the schedule
// relies on the credited rain and reduces days further: shallow waterings keep roots shallow, and
// one run more or less changes little in a dry spell, when the month's share is too small in any
// case. Then all zones that share a night must fit its window, in turns of one cycle each. If they
// do not fit, they are spread over different nights, then watered on more days; also if the night
// is longer than is practical. Only when no more days are available are runs cut, which the
// schedule then reports.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {

/// A watering should refill at least this share of the usable storage: less wets only the upper
/// part of the roots. Our own rule.
inline constexpr double kMinShareOfStorage = 0.5;

/// What a zone needs in a month.
struct ZoneTask {
    double gross_mm = 0.0;  ///< of the whole month; 0 if there is no need
    double rate_mm_per_h = 0.0;
    std::optional<double> longest_cycle_minutes;
    double soak_minutes = 0.0;
    double gross_per_net = 1.0;
    double usable_storage_mm = 0.0;
    double root_zone_mm = 0.0;               ///< maximum of one watering, net
    std::optional<int> interval_days;        ///< longest interval without rain
    std::optional<int> wait_with_rain_days;  ///< longest interval if the credited rain falls; used
                                             ///< only if runs would otherwise be too short
    double flow_l_per_min = 0.0;
    double minute_step = 1.0;                  ///< of the controller
    std::optional<int> max_cycles;             ///< per day, by the controller
    std::optional<int> max_cycles_by_rule;     ///< per day
    std::optional<int> max_runs_a_week;        ///< cycles in any seven days, by a rule
    std::optional<double> most_minutes_a_day;  ///< by a rule
    std::optional<double> most_mm_a_week;      ///< gross, by a rule
    bool rounds_down = false;                  ///< settings may not apply more than gross_mm
    std::optional<double> base_days_per_week;  ///< nominal, of the peak month: other months exceed
                                               ///< it only if they must; empty: the fewest days
};

/// Whether a watering day of this net depth wets only the upper part of the roots.
[[nodiscard]] constexpr bool is_shallow_watering(double net_mm, double usable_storage_mm) {
    return net_mm < kMinShareOfStorage * usable_storage_mm;
}

/// A limit on the cycles per day.
enum class CyclesCap { none, controller, cycles_per_day, runs_per_week };

/// What a zone gets, as set on the controller. Lost minutes are per watering day, relative to what
/// the task needs, before rounding to the controller's steps.
struct ZoneRuns {
    DayPattern days;                    ///< no days without runs
    double wanted_minutes_a_day = 0.0;  ///< after the caps, before rounding
    double minutes_a_day = 0.0;         ///< as set: all cycles
    Cycles cycles;
    RunLimits limits;
    bool is_too_little = false;  ///< no watering day would reach kShortestDayMinutes: no runs
    bool has_days_cut = false;   ///< fewer days than the soil needs, so that a day reaches it
    double lost_to_runs_cap_minutes = 0.0;
    CyclesCap runs_cap = CyclesCap::none;  ///< the lowest limit on cycles
    double lost_to_minutes_cap_minutes = 0.0;
    double lost_to_soil_minutes = 0.0;  ///< beyond what the root zone can hold at once
    double lost_to_window_minutes = 0.0;
};

/// Limits that the zones of a month share.
struct MonthLimits {
    double window_minutes = kClockMinutes;     ///< of a night
    double practical_minutes = kClockMinutes;  ///< of a night: zones are spread and get more days
                                               ///< before it is longer; no runs are cut
    ValveLimits valves;
};

struct MonthSchedule {
    std::vector<ZoneRuns> zones;              ///< in the order of the tasks
    std::vector<std::vector<double>> starts;  ///< of each zone's cycles, minutes from the first
    double longest_night_minutes = 0.0;       ///< as scheduled
    double wanted_night_minutes = 0.0;        ///< before runs were cut to the window
    double wanted_open_minutes = 0.0;         ///< of that night, valves open, without soak time
};

/// The days on which a zone may be watered, from `day_patterns`; never null.
using ZonePatterns = const std::vector<DayPattern>*;

/// A zone's runs on these days, regardless of the other zones.
[[nodiscard]] ZoneRuns runs_on_days(const ZoneTask& task, const DayPattern& days);

/// The days for a zone alone on a site.
[[nodiscard]] ZoneRuns runs_of_single_zone(const ZoneTask& task,
                                           const std::vector<DayPattern>& patterns);

/// `patterns`: one for each task.
[[nodiscard]] MonthSchedule month_schedule(const std::vector<ZoneTask>& tasks,
                                           const std::vector<ZonePatterns>& patterns,
                                           const MonthLimits& limits);

}  // namespace thirstline
