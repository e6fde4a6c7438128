// The runs of one month, for all zones of a site together, within the local rules.
//
// Days are chosen so that the soil does not dry out between waterings and that each watering wets
// the roots. Where the days that the soil asks for make a watering too short for that, the credited
// rain is counted on and days are cut further: shallow waterings keep roots shallow, and a run more
// or less does little in a dry spell, when the month's share falls short anyway. Then all zones
// that share a night must fit its window, taking turns, one cycle at a time. Where they do not,
// they are spread over different nights, then watered on more days, and only when the days run out
// are runs cut, which the schedule then tells.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {

/// A watering should bring back at least this share of the usable storage: less wets only the upper
/// part of the roots. Our own rule.
inline constexpr double kMinShareOfStorage = 0.5;

/// What a zone asks of a month.
struct ZoneTask {
    double gross_mm = 0.0;  ///< of the whole month; 0 for none
    double rate_mm_per_h = 0.0;
    std::optional<double> longest_cycle_minutes;
    double soak_minutes = 0.0;
    double gross_per_net = 1.0;
    double usable_storage_mm = 0.0;
    double root_zone_mm = 0.0;               ///< the most that one watering may bring, net
    std::optional<int> interval_days;        ///< longest wait without rain
    std::optional<int> wait_with_rain_days;  ///< longest wait if the credited rain comes; only
                                             ///< taken where runs would else be too short
    double flow_l_per_min = 0.0;
    double minute_step = 1.0;                  ///< of the controller
    std::optional<int> max_cycles;             ///< of a day, by the controller
    std::optional<int> max_cycles_by_rule;     ///< of a day
    std::optional<int> max_runs_a_week;        ///< cycles in any seven days, by a rule
    std::optional<double> most_minutes_a_day;  ///< by a rule
    std::optional<double> most_mm_a_week;      ///< gross, by a rule
    bool rounds_down = false;                  ///< settings may not bring more than gross_mm
    std::optional<double> base_days_per_week;  ///< nominal, of the peak month: other months do not
                                               ///< exceed it without need; empty: the fewest days
};

/// Would a watering day of so much net depth wet only the upper part of the roots?
[[nodiscard]] constexpr bool is_shallow_watering(double net_mm, double usable_storage_mm) {
    return net_mm < kMinShareOfStorage * usable_storage_mm;
}

/// A limit on the cycles of a day.
enum class CyclesCap { none, controller, cycles_per_day, runs_per_week };

/// What a zone gets, as it is keyed in. Minutes lost are of each watering day, against what the
/// task asks, before they are rounded to the controller's steps.
struct ZoneRuns {
    DayPattern days;                    ///< no days without runs
    double wanted_minutes_a_day = 0.0;  ///< after the caps, before rounding
    double minutes_a_day = 0.0;         ///< keyed: all cycles
    Cycles cycles;
    RunLimits limits;
    bool is_too_little = false;  ///< no watering day would reach kShortestDayMinutes: no runs
    bool has_days_cut = false;   ///< fewer days than the soil asks, so that a day reaches it
    double lost_to_runs_cap_minutes = 0.0;
    CyclesCap runs_cap = CyclesCap::none;  ///< which limit on cycles is the lowest
    double lost_to_minutes_cap_minutes = 0.0;
    double lost_to_soil_minutes = 0.0;  ///< more than the root zone can hold at once
    double lost_to_window_minutes = 0.0;
};

/// What the zones of a month share.
struct MonthLimits {
    double window_minutes = kClockMinutes;  ///< of a night
    ValveLimits valves;
};

struct MonthSchedule {
    std::vector<ZoneRuns> zones;              ///< as the tasks
    std::vector<std::vector<double>> starts;  ///< of each zone's cycles, minutes from the first
    double longest_night_minutes = 0.0;       ///< as scheduled
    double wanted_night_minutes = 0.0;        ///< before runs were cut to the window
    double wanted_open_minutes = 0.0;         ///< of that night, valves open, without any soak
};

/// The days that a zone may be watered on, as `day_patterns` gives them; never null.
using ZonePatterns = const std::vector<DayPattern>*;

/// A zone's runs on these days, whatever the others do.
[[nodiscard]] ZoneRuns runs_on_days(const ZoneTask& task, const DayPattern& days);

/// The days for a zone that has the site to itself.
[[nodiscard]] ZoneRuns runs_of_single_zone(const ZoneTask& task,
                                           const std::vector<DayPattern>& patterns);

/// `patterns`: as many as there are tasks.
[[nodiscard]] MonthSchedule month_schedule(const std::vector<ZoneTask>& tasks,
                                           const std::vector<ZonePatterns>& patterns,
                                           const MonthLimits& limits);

}  // namespace thirstline
