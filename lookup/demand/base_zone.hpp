// Zones while the base runs of their percentages are being chosen, alone and by program.
#pragma once

#include <cstddef>
#include <vector>

#include "lookup/demand/percentage_schedule.hpp"

namespace thirstline {

struct BaseZone {
    DayPattern days;                 ///< of the base run, in its month
    Monthly<DayPattern> days_of;     ///< of each month
    Monthly<double> most_minutes{};  ///< a day, by the rules of each month
    RunLimits limits;
    double peak_minutes = 0.0;         ///< the most that a month wants a day
    Monthly<double> days_in_month{};   ///< within the season
    Monthly<double> wanted_minutes{};  ///< a base day; 0 where off
    Cycles base;
};

/// A zone with runs on these days, or on what the limits of each month allow of them, and what each
/// month wants of them. `may_not_exceed_schedule`: its base run brings no more than the zone's
/// month-by-month settings.
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

/// Litres that a minute on each base day of the month brings.
[[nodiscard]] double litres_a_minute(const PercentageTask& task, const BaseZone& zone,
                                     std::size_t month);

/// Zones of one program, and what one percentage for all would bring beyond their targets.
struct ZoneGroup {
    std::vector<std::size_t> zones;  ///< by index, in order
    Monthly<double> share{};         ///< greatest of the zones', of their peaks
    Monthly<double> litres{};        ///< that the whole share would bring to those that are on
    double target_l = 0.0;

    /// As a share of the targets.
    [[nodiscard]] double excess() const;
};

/// Of a single zone.
[[nodiscard]] ZoneGroup group_of(const PercentageTask& task, const BaseZone& zone,
                                 std::size_t index);

[[nodiscard]] ZoneGroup merged(const ZoneGroup& a, const ZoneGroup& b);

}  // namespace thirstline
