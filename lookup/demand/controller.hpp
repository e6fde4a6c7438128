// What a controller can store, and the months in which the system is in use.
#pragma once

#include <optional>

#include "lookup/demand/year_day.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Defaults are common practice: most controllers take whole minutes, steps of 5 % and a few
/// programs.
struct Controller {
    int programs = 3;                ///< 1 to 40; each with its own days and monthly percentage
    double minute_step = 1.0;        ///< run times are multiples of it, 0.1 to 10 min
    int percent_step = 5;            ///< monthly percentages are multiples of it, 1 to 25
    std::optional<int> start_times;  ///< a program's; limits the cycles of a day
    bool interval_days = true;       ///< false: the same weekdays in every week
    bool cycles_possible = true;     ///< false: one cycle a watering day
    int valves_at_once = 1;          ///< that may be open together where the site's flow allows it
};

/// Days on which the system is charged and shut off; both or neither.
struct Season {
    YearDay start;
    YearDay stop;  ///< the last day with water
};

/// Besides zones, rules and price.
struct SiteSetup {
    Controller controller;
    std::optional<Season> season;  ///< empty: by the mean daily minimum, where it is known
    std::optional<Monthly<double>> current_percents;  ///< the owner's own, of the base schedule
};

/// The least share of the need that settings may bring without a conflict: what run times in whole
/// minutes can hold. Our own rule.
inline constexpr double kMinShareOfNeed = 0.95;

/// A watering day of fewer minutes is not worth keying in: days are cut first. Our own rule.
inline constexpr double kShortestDayMinutes = 3.0;

}  // namespace thirstline
