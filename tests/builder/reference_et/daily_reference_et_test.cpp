// Reference ET of a day against published worked examples. Values are second hand (read in
// independent implementations that quote the publication) unless stated otherwise.
#include "builder/reference_et/daily_reference_et.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/radiation.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "builder/reference_et/wind.hpp"

namespace thirstline {
namespace {

constexpr double kUccleLatDeg = 50.8;
constexpr int kSixthOfJuly = 187;

/// FAO-56 example 18: Uccle, 6 July: 21.5 and 12.3 °C, 84 and 63 %, 10 km/h at 10 m, 9.25 hours of
/// sunshine, 100 m.
DayWeather uccle() {
    DayHumidity humidity;
    humidity.relative.max_percent = 84.0;
    humidity.relative.min_percent = 63.0;
    const double ra = extraterrestrial_radiation_mj_m2_day(kUccleLatDeg, kSixthOfJuly);
    DayWeather weather;
    weather.tmax_c = 21.5;
    weather.tmin_c = 12.3;
    weather.vapour_pressure_kpa = day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.1);
    weather.u2_m_per_s = wind_at_two_metres_m_per_s(10.0 / 3.6, 10.0);
    weather.rs_mj_m2_day = rs_from_sunshine_fraction(
        sunshine_fraction_of(9.25, daylight_hours(kUccleLatDeg, kSixthOfJuly)), ra);
    return weather;
}

TEST(DailyReferenceEt, OfTheExampleOfUccle) {
    const double ra = extraterrestrial_radiation_mj_m2_day(kUccleLatDeg, kSixthOfJuly);
    EXPECT_NEAR(uccle().vapour_pressure_kpa, 1.409, 0.001);
    EXPECT_NEAR(uccle().rs_mj_m2_day, 22.07, 0.02);
    EXPECT_NEAR(
        daily_reference_et_mm_per_day(uccle(), 100.0, ra, ReferenceSurface::short_reference), 3.88,
        0.01);
}

// ASCE-EWRI 2005, table 1: the tall reference differs by its two constants only.
TEST(DailyReferenceEt, OfTheTallReferenceIsGreaterOnADryWindyDay) {
    DayWeather dry = uccle();
    dry.vapour_pressure_kpa = 0.8;
    dry.u2_m_per_s = 4.0;
    const double ra = extraterrestrial_radiation_mj_m2_day(kUccleLatDeg, kSixthOfJuly);
    const double grass =
        daily_reference_et_mm_per_day(dry, 100.0, ra, ReferenceSurface::short_reference);
    const double tall =
        daily_reference_et_mm_per_day(dry, 100.0, ra, ReferenceSurface::tall_reference);
    EXPECT_GT(tall, 1.2 * grass);
    EXPECT_LT(tall, 1.6 * grass);
}

TEST(DailyReferenceEt, IsUnknownIfAnythingIs) {
    const double ra = extraterrestrial_radiation_mj_m2_day(kUccleLatDeg, kSixthOfJuly);
    for (double DayWeather::*field :
         {&DayWeather::tmax_c, &DayWeather::tmin_c, &DayWeather::vapour_pressure_kpa,
          &DayWeather::u2_m_per_s, &DayWeather::rs_mj_m2_day}) {
        DayWeather weather = uccle();
        weather.*field = std::nan("");
        EXPECT_TRUE(std::isnan(
            daily_reference_et_mm_per_day(weather, 100.0, ra, ReferenceSurface::short_reference)));
    }
    EXPECT_TRUE(std::isnan(daily_reference_et_mm_per_day(uccle(), std::nan(""), ra,
                                                         ReferenceSurface::short_reference)));
}

TEST(DailyReferenceEt, TakesTheMostTrustedHumidity) {
    DayHumidity humidity;
    EXPECT_TRUE(std::isnan(day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.0)));
    humidity.relative.mean_percent = 70.0;
    EXPECT_NEAR(day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.0),
                0.7 * saturation_vapour_pressure_kpa(16.9), 1e-12);
    humidity.relative.max_percent = 84.0;
    humidity.relative.min_percent = 63.0;
    EXPECT_NEAR(day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.0), 1.409, 0.001);
    humidity.dew_point_c = 10.0;
    EXPECT_NEAR(day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.0), 1.2280, 0.0001);
    humidity.vapour_pressure_kpa = 1.5;
    EXPECT_EQ(day_vapour_pressure_kpa(humidity, 21.5, 12.3, 100.0), 1.5);
}

}  // namespace
}  // namespace thirstline
