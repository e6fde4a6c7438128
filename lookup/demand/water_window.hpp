// The hours of a watering day in which water may run, on the clock.
#pragma once

#include "lookup/demand/local_rules.hpp"

namespace thirstline {

struct WaterWindow {
    double from_minutes = 0.0;            ///< after midnight of the watering day, 0 to 1440
    double minutes = kClockMinutes;       ///< its length; it may pass midnight
    bool is_cut_by_barred_hours = false;  ///< it would be longer without them
};

/// The longest stretch that is within the window and is not barred on any allowed weekday. Where
/// days are limited it does not pass midnight, into a day that may not be allowed. Where only a
/// length is given the stretch is the whole time from which that length may be taken.
[[nodiscard]] WaterWindow water_window(const LocalRules& rules);

/// Minutes of water time a watering day: the window's length, at most window_hours.
[[nodiscard]] double window_minutes(const LocalRules& rules);

/// When a night of so many minutes begins, in minutes after midnight of the watering day: so that
/// it ends at kNightEndsMinutes where the window allows that, in steps of 5 minutes.
[[nodiscard]] double start_of_night(const WaterWindow& window, double night_minutes);

/// About sunrise, with little wind and evaporation before it and leaves that dry soon after.
/// Common practice.
inline constexpr double kNightEndsMinutes = 6.0 * 60.0;

}  // namespace thirstline
