// Lapse rates, and how ETo changes with elevation.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/lapse_rates.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "tests/support/sample_climates.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

// About 0.33 in summer and 0.41 in winter (Kunkel 1989, from memory).
TEST(LapseRates, VapourPressureFallsFasterInWinter) {
    EXPECT_NEAR(vapour_pressure_lapse_per_km(45.0, kJanuary), 0.41, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(45.0, kJuly), 0.33, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(-45.0, kJanuary), 0.33, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(-45.0, kJuly), 0.41, 0.005);
}

TEST(LapseRates, AreContinuousAcrossTheEquatorAndMirror) {
    for (int month = 0; month < kMonths; ++month) {
        double last = vapour_pressure_lapse_per_km(-90.0, month);
        for (int i = -899; i <= 900; ++i) {
            const double now = vapour_pressure_lapse_per_km(i / 10.0, month);
            ASSERT_NEAR(now, last, 0.001);
            ASSERT_NEAR(now, vapour_pressure_lapse_per_km(-i / 10.0, (month + 6) % kMonths), 1e-12);
            last = now;
        }
    }
}

TEST(LapseRates, OfTemperatureAreTheDefaults) {
    const LapseRates rates = default_lapse_rates(12.0);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(rates.tmax_c_per_km[month], 6.5);
        EXPECT_EQ(rates.tmin_c_per_km[month], 4.5);
        EXPECT_EQ(rates.vapour_pressure_per_km[month], vapour_pressure_lapse_per_km(12.0, month));
    }
}

TEST(LapseRates, AdjustUpAndBack) {
    EXPECT_DOUBLE_EQ(temperature_adjusted_c(20.0, 500.0, 6.0), 17.0);
    EXPECT_NEAR(vapour_pressure_adjusted_kpa(1.5, 1000.0, 0.4), 1.5 * std::exp(-0.4), 1e-12);
    EXPECT_NEAR(
        vapour_pressure_adjusted_kpa(vapour_pressure_adjusted_kpa(1.5, 900.0, 0.37), -900.0, 0.37),
        1.5, 1e-12);
}

// Carried together they keep the air as moist as it was: a kilometre moves RH at the mean
// temperature by a few per cent only, and never to saturation.
TEST(LapseRates, KeepsRelativeHumidityWhenBothAreAdjusted) {
    for (const double tmean : {0.0, 10.0, 20.0, 30.0}) {
        const double ea = 0.7 * saturation_vapour_pressure_kpa(tmean);
        const double up =
            vapour_pressure_adjusted_kpa(ea, 1000.0, 0.37) /
            saturation_vapour_pressure_kpa(temperature_adjusted_c(tmean, 1000.0, 5.5));
        EXPECT_NEAR(up, 0.7, 0.05);
    }
}

}  // namespace
}  // namespace thirstline
