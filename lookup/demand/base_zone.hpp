// Zones during the choice of their base runs for percentages, singly and by program.
#pragma once

#include <cstddef>
#include <vector>

#include "lookup/demand/percentage_schedule.hpp"

namespace thirstline {

struct BaseZone {
    DayPattern days;                 ///< of the base run, in its month
    Monthly<DayPattern> days_of;     ///< of each month
    Monthly<double> most_minutes{};  ///< maximum per day, by the rules of each month
    RunLimits limits;
    double peak_minutes = 0.0;         ///< maximum minutes per day that any month needs
    Monthly<double> days_in_month{};   ///< within the season
    Monthly<double> wanted_minutes{};  ///< needed on a base day; 0 where off
    Cycles base;
};

/// A zone with runs on these days, or on the days that the limits of each month allow in their
/// place, and the minutes that each month needs. `may_not_exceed_schedule`: the base run applies at
/// most what the month-by-month settings of the zone apply.
[[nodiscard]] BaseZone zone_on_days(const PercentageTask& task, const DayPattern& days,
                                    const Monthly<DayLimits>& limits,
                                    const Monthly<double>& season_share,
                                    bool may_not_exceed_schedule);

[[nodiscard]] inline double minutes_of(const Cycles& cycles) {
    return cycles.count * cycles.minutes_each;
}

[[nodiscard]] inline const ZoneTask& base_task(const PercentageTask& task) {
    return task.tasks[task.base_month];
}

/// Litres applied by one minute on each base day of the month.
[[nodiscard]] double litres_a_minute(const PercentageTask& task, const BaseZone& zone,
                                     std::size_t month);

/// Zones of one program, and what one percentage for all of them would apply beyond their targets.
struct ZoneGroup {
    std::vector<std::size_t> zones;  ///< by index, in order
    Monthly<double> share{};         ///< greatest share of any zone, of its own peak
    Monthly<double> litres{};        ///< applied at a share of 1, for the zones that are on
    double target_l = 0.0;

    /// As a share of the targets.
    [[nodiscard]] double excess() const;
};

/// For a single zone.
[[nodiscard]] ZoneGroup group_of(const PercentageTask& task, const BaseZone& zone,
                                 std::size_t index);

[[nodiscard]] ZoneGroup merged(const ZoneGroup& a, const ZoneGroup& b);

}  // namespace thirstline
