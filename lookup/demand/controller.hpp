// What a controller can store, and the months in which the system is used.
#pragma once

#include <optional>

#include "lookup/demand/year_day.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Defaults are common practice: most controllers use whole minutes, steps of 5 % and a few
/// programs.
struct Controller {
    int programs = 3;                ///< 1 to 40; each with its own days and monthly percentages
    double minute_step = 1.0;        ///< run times are multiples of it, 0.1 to 10 min
    int percent_step = 5;            ///< monthly percentages are multiples of it, 1 to 25
    std::optional<int> start_times;  ///< of a program; limits the cycles per day
    bool interval_days = true;       ///< false: the same weekdays every week
    bool cycles_possible = true;     ///< false: one cycle per watering day
    int valves_at_once = 1;          ///< number that may be open together if the site's flow allows
                                     ///< it
};

/// Days on which the system is charged and shut off; both or neither.
struct Season {
    YearDay start;
    YearDay stop;  ///< the last day with water
};

/// Input in addition to zones, rules and price.
struct SiteSetup {
    Controller controller;
    std::optional<Season> season;  ///< if empty, set by the mean daily minimum where that is known
    std::optional<Monthly<double>> current_percents;  ///< in use now, of the base schedule
};

/// The minimum share of the need that settings may apply without a conflict: the accuracy that run
/// times in whole minutes can reach. Our own rule.
inline constexpr double kMinShareOfNeed = 0.95;

/// A watering day of fewer minutes is not useful: days are reduced first. Our own rule.
inline constexpr double kShortestDayMinutes = 3.0;

}  // namespace thirstline
