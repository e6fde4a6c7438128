// The sun during an hour: extraterrestrial radiation and the height of the sun. FAO Irrigation and
// Drainage Paper 56 (1998), chapter 3, equations 28 to 33; ASCE-EWRI (2005) limits the sun's time
// angles to those of sunrise and sunset, so that the hours of a day sum up to its radiation.
#pragma once

#include <numbers>

namespace thirstline {

/// The solar time angle of one hour is π/12.
inline constexpr double kRadiansPerHour = std::numbers::pi / 12.0;

/// ω, the solar time angle, radians: 0 at solar noon. FAO-56 eq. 31 to 33. `hour` is the local
/// standard time, 0 to 24, of a clock that is `utc_offset_hours` ahead of UTC; longitude in degrees
/// east.
[[nodiscard]] double solar_time_angle_rad(double lon_deg, double utc_offset_hours, int day_of_year,
                                          double hour);

struct HourOfSun {
    double ra_mj_m2 = 0.0;    ///< on a horizontal plane in the hour; 0 at night
    double height_rad = 0.0;  ///< β in the middle of the hour; negative at night. Eq. 3-15
};

/// Of an hour whose middle has the solar time angle. FAO-56 eq. 28. Angles a full day off are
/// accepted.
[[nodiscard]] HourOfSun hour_of_sun(double lat_deg, int day_of_year, double middle_angle_rad);

}  // namespace thirstline
