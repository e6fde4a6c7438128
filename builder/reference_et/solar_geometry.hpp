// The sun above a horizontal plane: extraterrestrial radiation and daylight hours by latitude and
// day of the year. FAO Irrigation and Drainage Paper 56 (1998), chapter 3, equations 21 to 25 and
// 34.
//
// All functions are defined from pole to pole: in polar night the sunset hour angle is 0, so
// radiation and daylight are 0; under the midnight sun it is π, so the day has 24 hours.
#pragma once

#include "schema/base/calendar.hpp"

namespace thirstline {

/// The inverse relative distance Earth–Sun of a day, squared (0.967 to 1.033). FAO-56 eq. 23. Day
/// of the year: 1 to 366.
[[nodiscard]] double inverse_relative_distance(int day_of_year);

/// Solar declination, radians (−0.409 to 0.409). FAO-56 eq. 24.
[[nodiscard]] double solar_declination_rad(int day_of_year);

/// Hour angle of sunset, radians, 0 (polar night) to π (midnight sun). FAO-56 eq. 25.
[[nodiscard]] double sunset_hour_angle_rad(double lat_deg, int day_of_year);

/// Ra, radiation on a horizontal plane at the top of the atmosphere. FAO-56 eq. 21.
[[nodiscard]] double extraterrestrial_radiation_mj_m2_day(double lat_deg, int day_of_year);

/// N, the maximum possible hours of bright sunshine, 0 to 24. FAO-56 eq. 34.
[[nodiscard]] double daylight_hours(double lat_deg, int day_of_year);

/// Ra and N of a latitude, each the mean over all days of the month. Using only the middle of the
/// month gives errors of −2.4 % at 45° N and −19 % at 65° N in January.
struct MonthlySun {
    Monthly<double> ra_mj_m2_day{};
    Monthly<double> daylight_hours{};
};

/// For a year of 365 days. Takes tens of microseconds: compute it once per latitude.
[[nodiscard]] MonthlySun monthly_sun(double lat_deg);

}  // namespace thirstline
