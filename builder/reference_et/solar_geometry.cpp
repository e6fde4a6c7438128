#include "builder/reference_et/solar_geometry.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace thirstline {
namespace {

constexpr double kSolarConstantMjM2Min = 0.0820;
constexpr double kMinutesPerDay = 24.0 * 60.0;
constexpr double kHoursPerRadian = 24.0 / std::numbers::pi;  // of daylight, by sunset hour angle
constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;
constexpr double kRadiansPerDay = 2.0 * std::numbers::pi / 365.0;

double sunset_hour_angle(double lat_rad, double declination_rad) {
    const double cosine = -std::tan(lat_rad) * std::tan(declination_rad);
    return std::acos(std::clamp(cosine, -1.0, 1.0));
}

double daily_radiation(double lat_rad, double declination_rad, double sunset_rad,
                       double distance_factor) {
    const double geometry = sunset_rad * std::sin(lat_rad) * std::sin(declination_rad) +
                            std::cos(lat_rad) * std::cos(declination_rad) * std::sin(sunset_rad);
    const double radiation =
        kMinutesPerDay / std::numbers::pi * kSolarConstantMjM2Min * distance_factor * geometry;
    return std::max(radiation, 0.0);  // rounding alone could make it negative at the edge of polar
                                      // night
}

}  // namespace

double inverse_relative_distance(int day_of_year) {
    return 1.0 + 0.033 * std::cos(kRadiansPerDay * day_of_year);
}

double solar_declination_rad(int day_of_year) {
    return 0.409 * std::sin(kRadiansPerDay * day_of_year - 1.39);
}

double sunset_hour_angle_rad(double lat_deg, int day_of_year) {
    return sunset_hour_angle(lat_deg * kRadiansPerDegree, solar_declination_rad(day_of_year));
}

double extraterrestrial_radiation_mj_m2_day(double lat_deg, int day_of_year) {
    const double lat_rad = lat_deg * kRadiansPerDegree;
    const double declination = solar_declination_rad(day_of_year);
    return daily_radiation(lat_rad, declination, sunset_hour_angle(lat_rad, declination),
                           inverse_relative_distance(day_of_year));
}

double daylight_hours(double lat_deg, int day_of_year) {
    return kHoursPerRadian * sunset_hour_angle_rad(lat_deg, day_of_year);
}

MonthlySun monthly_sun(double lat_deg) {
    const double lat_rad = lat_deg * kRadiansPerDegree;
    MonthlySun sun;
    int day_of_year = 1;
    for (int month = 0; month < kMonths; ++month) {
        const int days = kWholeDaysInMonth[month];
        for (int day = 0; day < days; ++day, ++day_of_year) {
            const double declination = solar_declination_rad(day_of_year);
            const double sunset = sunset_hour_angle(lat_rad, declination);
            sun.ra_mj_m2_day[month] += daily_radiation(lat_rad, declination, sunset,
                                                       inverse_relative_distance(day_of_year));
            sun.daylight_hours[month] += kHoursPerRadian * sunset;
        }
        sun.ra_mj_m2_day[month] /= days;
        sun.daylight_hours[month] /= days;
    }
    return sun;
}

}  // namespace thirstline
