// The hours of a watering day in which water may run, on the clock.
#pragma once

#include "lookup/demand/local_rules.hpp"

namespace thirstline {

struct WaterWindow {
    double from_minutes = 0.0;            ///< after midnight of the watering day, 0 to 1440
    double minutes = kClockMinutes;       ///< its length; it may pass midnight
    bool is_cut_by_barred_hours = false;  ///< it would be longer without them
};

/// The longest period that is within the window and is not barred on any allowed weekday. If days
/// are limited it does not pass midnight, because the next day may not be allowed. If only a length
/// is given, the period is the whole time in which a window of that length may be.
[[nodiscard]] WaterWindow water_window(const LocalRules& rules);

/// Minutes of watering time per watering day: the length of the window, at most window_hours.
[[nodiscard]] double window_minutes(const LocalRules& rules);

/// Start of a night of this many minutes, in minutes after midnight of the watering day, in steps
/// of 5 minutes: it ends at kNightEndsMinutes if the window allows that.
[[nodiscard]] double start_of_night(const WaterWindow& window, double night_minutes);

/// About sunrise: before it wind and evaporation are low, and leaves dry soon after. Common
/// practice.
inline constexpr double kNightEndsMinutes = 6.0 * 60.0;

}  // namespace thirstline
