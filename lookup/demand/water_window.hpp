// The hours of a watering day in which water may run, on the clock.
#pragma once

#include "lookup/demand/local_rules.hpp"

namespace thirstline {

struct WaterWindow {
    double from_minutes = 0.0;            ///< after midnight of the watering day, 0 to 1440
    double minutes = kClockMinutes;       ///< its length; it may pass midnight
    bool is_cut_by_barred_hours = false;  ///< it would be longer without them
    bool may_pass_midnight = false;       ///< no rule limits days
};

/// The longest period that is within the window and is not barred on any allowed weekday. If days
/// are limited it does not pass midnight, because the next day may not be allowed. If only a length
/// is given, the period is the whole time in which a window of that length may be.
[[nodiscard]] WaterWindow water_window(const LocalRules& rules);

/// Minutes of watering time per watering day: the length of the window, at most window_hours.
[[nodiscard]] double window_minutes(const LocalRules& rules);

/// The longest night that is worth planning for: more watering days are better than a longer one.
/// window_hours if given; otherwise kPracticalNightMinutes or the window, whichever is shorter.
[[nodiscard]] double practical_night_minutes(const LocalRules& rules);

/// Start of a night of this many minutes, in minutes after midnight of the watering day, in steps
/// of 5 minutes: it ends at kNightEndsMinutes if the window allows that. Where no rule limits hours
/// or days, a night that is too long for the time after midnight begins in the evening of the
/// watering day, from kEveningStartsMinutes on.
[[nodiscard]] double start_of_night(const WaterWindow& window, double night_minutes);

/// About sunrise: before it wind and evaporation are low, and leaves dry soon after. Common
/// practice.
inline constexpr double kNightEndsMinutes = 6.0 * 60.0;

/// Earliest start of a long night: before it people use the site and wind and evaporation are high.
/// Our own rule.
inline constexpr double kEveningStartsMinutes = 18.0 * 60.0;

/// From 20:00 to 06:00. Our own rule.
inline constexpr double kPracticalNightMinutes = 10.0 * 60.0;

/// Whether a night that starts and ends at these minutes after midnight of the watering day ends
/// after kNightEndsMinutes, of that day or, if it starts later than that, of the next.
[[nodiscard]] constexpr bool ends_late(double start_minutes, double end_minutes) {
    const double limit =
        kNightEndsMinutes + (start_minutes < kNightEndsMinutes ? 0.0 : 1.0 * kClockMinutes);
    return end_minutes > limit + 0.5;
}

}  // namespace thirstline
