#include "builder/reference_et/hourly_sun.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/solar_geometry.hpp"

namespace thirstline {

double solar_time_angle_rad(double lon_deg, double utc_offset_hours, int day_of_year, double hour) {
    // Eq. 32 and 33: the seasonal correction of solar time, hours.
    const double b = 2.0 * std::numbers::pi * (day_of_year - 81) / 364.0;
    const double correction =
        0.1645 * std::sin(2.0 * b) - 0.1255 * std::cos(b) - 0.025 * std::sin(b);
    // Eq. 31 counts longitudes west of Greenwich; 0.06667 is 1/15.
    const double zone_to_site_hours = lon_deg / 15.0 - utc_offset_hours;
    return kRadiansPerHour * (hour + zone_to_site_hours + correction - 12.0);
}

HourOfSun hour_of_sun(double lat_deg, int day_of_year, double middle_angle_rad) {
    constexpr double kSolarConstantMjM2Min = 0.0820;
    constexpr double kMinutesPerRadian = 12.0 * 60.0 / std::numbers::pi;
    const double lat = lat_deg * std::numbers::pi / 180.0;
    const double declination = solar_declination_rad(day_of_year);
    const double vertical = std::sin(lat) * std::sin(declination);
    const double horizontal = std::cos(lat) * std::cos(declination);
    const double sunset = sunset_hour_angle_rad(lat_deg, day_of_year);
    const double middle = std::remainder(middle_angle_rad, 2.0 * std::numbers::pi);
    const auto radiation_between = [&](double from, double to) {
        from = std::clamp(from, -sunset, sunset);
        to = std::clamp(to, -sunset, sunset);
        const double geometry =
            (to - from) * vertical + horizontal * (std::sin(to) - std::sin(from));
        return std::max(kMinutesPerRadian * kSolarConstantMjM2Min *
                            inverse_relative_distance(day_of_year) * geometry,
                        0.0);
    };
    const double from = middle - kRadiansPerHour / 2.0;
    const double to = middle + kRadiansPerHour / 2.0;
    HourOfSun hour;
    // Under the midnight sun an hour may reach beyond midnight.
    constexpr double kTurn = 2.0 * std::numbers::pi;
    hour.ra_mj_m2 = radiation_between(from, to) + radiation_between(from + kTurn, to + kTurn) +
                    radiation_between(from - kTurn, to - kTurn);
    hour.height_rad = std::asin(std::clamp(vertical + horizontal * std::cos(middle), -1.0, 1.0));
    return hour;
}

}  // namespace thirstline
