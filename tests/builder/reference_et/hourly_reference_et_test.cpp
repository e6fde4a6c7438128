// Reference ET of an hour against the worked example of FAO-56, and against what must hold of any
// hour.
#include "builder/reference_et/hourly_reference_et.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/daily_reference_et.hpp"
#include "builder/reference_et/radiation.hpp"
#include "builder/reference_et/solar_geometry.hpp"

namespace thirstline {
namespace {

// FAO-56 example 19, N'Diaye (Senegal), 16°13' N 16°15' W, 8 m, 1 October, in the time zone of 15°
// W. The printed numbers are from memory.
constexpr double kLatDeg = 16.0 + 13.0 / 60.0;
constexpr double kLonDeg = -16.25;
constexpr double kElevationM = 8.0;
constexpr int kFirstOfOctober = 274;

double humid_kpa(double temperature_c, double percent) {
    return saturation_vapour_pressure_kpa(temperature_c) * percent / 100.0;
}

TEST(HourlyReferenceEt, OfTheExampleOfNDiayeByDay) {
    const double angle = solar_time_angle_rad(kLonDeg, -1.0, kFirstOfOctober, 14.5);
    EXPECT_NEAR(angle, 0.682, 0.001);
    const HourOfSun sun = hour_of_sun(kLatDeg, kFirstOfOctober, angle);
    EXPECT_NEAR(sun.ra_mj_m2, 3.543, 0.001);
    EXPECT_NEAR(clear_sky_rs(kElevationM, sun.ra_mj_m2), 2.658, 0.001);
    const WeatherOfHour hour{38.0, humid_kpa(38.0, 52.0), 3.3, 2.450};
    EXPECT_NEAR(hour.vapour_pressure_kpa, 3.445, 0.001);
    const double cloudiness = cloudiness_of_hour(2.450, sun, kElevationM);
    EXPECT_NEAR((cloudiness + 0.35) / 1.35, 0.922, 0.001);
    EXPECT_NEAR(hourly_net_radiation_mj_m2(hour, cloudiness), 1.749, 0.001);
    EXPECT_NEAR(hourly_reference_et_mm(hour, cloudiness, kElevationM, kFao56HourlyConstants), 0.63,
                0.005);
    // ASCE-EWRI 2005 has the lower resistance of 50 s/m by day: 0.24 instead of 0.34.
    const double asce = hourly_reference_et_mm(hour, cloudiness, kElevationM,
                                               hourly_constants(ReferenceSurface::short_reference));
    EXPECT_GT(asce, 0.63);
    EXPECT_LT(asce, 0.68);
}

TEST(HourlyReferenceEt, OfTheExampleOfNDiayeByNight) {
    const double angle = solar_time_angle_rad(kLonDeg, -1.0, kFirstOfOctober, 2.5);
    EXPECT_NEAR(angle, -2.46, 0.01);
    const HourOfSun sun = hour_of_sun(kLatDeg, kFirstOfOctober, angle);
    EXPECT_EQ(sun.ra_mj_m2, 0.0);
    EXPECT_LT(sun.height_rad, 0.0);
    EXPECT_TRUE(std::isnan(cloudiness_of_hour(0.0, sun, kElevationM)));
    const WeatherOfHour hour{28.0, humid_kpa(28.0, 90.0), 1.9, 0.0};
    // Rs/Rso of 0.8, which the example takes for the night.
    const double cloudiness = 1.35 * 0.8 - 0.35;
    EXPECT_NEAR(hourly_net_radiation_mj_m2(hour, cloudiness), -0.100, 0.001);
    EXPECT_NEAR(hourly_reference_et_mm(hour, cloudiness, kElevationM, kFao56HourlyConstants), 0.0,
                0.005);
}

TEST(HourlyReferenceEt, HoursOfSunSumUpToItsDay) {
    for (const double lat : {-66.0, -33.0, 0.0, 16.2, 47.0, 60.0, 70.0, 89.0}) {
        for (const int day : {1, 80, 172, 274, 355}) {
            for (const double lon : {-179.0, -104.8, 0.0, 20.0}) {
                double sum = 0.0;
                for (int hour = 0; hour < 24; ++hour)
                    sum += hour_of_sun(
                               lat, day,
                               solar_time_angle_rad(lon, std::round(lon / 15.0), day, hour + 0.5))
                               .ra_mj_m2;
                EXPECT_NEAR(sum, extraterrestrial_radiation_mj_m2_day(lat, day), 1e-6)
                    << lat << " " << day << " " << lon;
            }
        }
    }
}

// ASCE-EWRI 2005 chose the constants of hours so that their sum is near the value of the day:
// within about 5 % in its tests (second hand).
TEST(HourlyReferenceEt, HoursSumUpToNearTheDay) {
    constexpr double kNorth = 40.4;
    constexpr int kSecondOfJuly = 183;
    constexpr double kHeight = 1462.0;
    constexpr double kPi = 3.14159265358979;
    for (const ReferenceSurface surface :
         {ReferenceSurface::short_reference, ReferenceSurface::tall_reference}) {
        double sum = 0.0;
        double rs_of_day = 0.0;
        double cloudiness = 0.9;
        for (int hour = 0; hour < 24; ++hour) {
            const double angle = solar_time_angle_rad(-105.0, -7.0, kSecondOfJuly, hour + 0.5);
            const HourOfSun sun = hour_of_sun(kNorth, kSecondOfJuly, angle);
            const double rs = 0.72 * sun.ra_mj_m2;
            rs_of_day += rs;
            const double known = cloudiness_of_hour(rs, sun, kHeight);
            if (!std::isnan(known)) cloudiness = known;
            const double warmth = std::cos(angle - 2.5 * kRadiansPerHour);
            const WeatherOfHour weather{21.5 + 9.0 * warmth, 1.3,
                                        2.2 + 1.2 * std::sin(kPi * (hour - 8) / 12.0), rs};
            sum += hourly_reference_et_mm(weather, cloudiness, kHeight, hourly_constants(surface));
        }
        const double day = daily_reference_et_mm_per_day(
            {30.5, 12.5, 1.3, 2.2, rs_of_day}, kHeight,
            extraterrestrial_radiation_mj_m2_day(kNorth, kSecondOfJuly), surface);
        EXPECT_NEAR(sum / day, 1.0, 0.06);
    }
}

TEST(HourlyReferenceEt, IsUnknownIfAnythingIs) {
    const HourlyConstants constants = hourly_constants(ReferenceSurface::short_reference);
    const WeatherOfHour known{20.0, 1.2, 2.0, 1.5};
    EXPECT_FALSE(std::isnan(hourly_reference_et_mm(known, 0.8, 100.0, constants)));
    for (int part = 0; part < 4; ++part) {
        WeatherOfHour hour = known;
        (part == 0   ? hour.temperature_c
         : part == 1 ? hour.vapour_pressure_kpa
         : part == 2 ? hour.u2_m_per_s
                     : hour.rs_mj_m2) = std::nan("");
        EXPECT_TRUE(std::isnan(hourly_reference_et_mm(hour, 0.8, 100.0, constants))) << part;
    }
    EXPECT_TRUE(std::isnan(hourly_reference_et_mm(known, 0.8, std::nan(""), constants)));
}

}  // namespace
}  // namespace thirstline
