// The nights of base runs and of their runs at a month's percentages.
#pragma once

#include <cstddef>
#include <vector>

#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/watering_night.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// A zone's base run and its days.
struct BaseRunDays {
    Cycles base;  ///< at 100 %; a count of 0: it never runs
    double flow_l_per_min = 0.0;
    Monthly<DayPattern> days;  ///< without slots in months in which the zone is off
};

/// The distinct nights of these months, each once.
[[nodiscard]] std::vector<Night> nights_of_months(const std::vector<BaseRunDays>& zones,
                                                  const Monthly<bool>& months);

/// For the base runs in all of these nights.
[[nodiscard]] NightLayout base_layout(const std::vector<BaseRunDays>& zones,
                                      const std::vector<Night>& nights, const ValveLimits& valves);

/// For the base runs of one night.
[[nodiscard]] double base_night_minutes(const std::vector<BaseRunDays>& zones, const Night& night,
                                        const ValveLimits& valves);

/// For a month's runs; `percents`: of each zone, 0 to 100.
[[nodiscard]] NightLayout layout_at_percents(const std::vector<BaseRunDays>& zones,
                                             std::size_t month, const std::vector<int>& percents,
                                             const ValveLimits& valves);

}  // namespace thirstline
