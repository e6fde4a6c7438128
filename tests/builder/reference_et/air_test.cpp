// Pressure, moisture, wind and soil compared with the worked examples of FAO-56 (1998). Unless
// stated otherwise the values are second hand: read in independent implementations that quote them.
#include "builder/reference_et/air.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/dew_point_depression.hpp"
#include "builder/reference_et/soil_heat.hpp"
#include "builder/reference_et/wind.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

// Example 2.
TEST(Air, PressureAndPsychrometricConstantAt1800Metres) {
    EXPECT_NEAR(pressure_kpa(1800.0), 81.8, 0.05);
    EXPECT_NEAR(psychrometric_constant_kpa_per_c(pressure_kpa(1800.0)), 0.054, 0.0005);
}

TEST(Air, PressureAtSeaLevelIsTheStandardOne) {
    EXPECT_DOUBLE_EQ(pressure_kpa(0.0), 101.3);
}

// Example 3.
TEST(Air, SaturationVapourPressure) {
    EXPECT_NEAR(saturation_vapour_pressure_kpa(24.5), 3.075, 0.0005);
    EXPECT_NEAR(saturation_vapour_pressure_kpa(15.0), 1.705, 0.0005);
    EXPECT_NEAR(mean_saturation_vapour_pressure_kpa(24.5, 15.0), 2.39, 0.005);
}

// Water's own saturation pressures: handbook values (from memory), 1 atm at 100 °C apart.
TEST(Air, SaturationAgreesWithSteamTables) {
    EXPECT_NEAR(saturation_vapour_pressure_kpa(0.0), 0.611, 0.001);
    EXPECT_NEAR(saturation_vapour_pressure_kpa(20.0), 2.339, 0.005);
    EXPECT_NEAR(saturation_vapour_pressure_kpa(40.0), 7.384, 0.02);
}

TEST(Air, SlopeIsTheDerivativeOfSaturation) {
    for (double t = -40.0; t <= 50.0; t += 5.0) {
        const double numerical =
            (saturation_vapour_pressure_kpa(t + 1e-3) - saturation_vapour_pressure_kpa(t - 1e-3)) /
            2e-3;
        // Eq. 13 rounds 17.27 · 237.3 = 4098.17 to 4098.
        EXPECT_NEAR(saturation_slope_kpa_per_c(t) / numerical, 1.0, 1e-4) << t;
    }
}

// Example 5.
TEST(Air, VapourPressureFromRelativeHumidity) {
    EXPECT_NEAR(vapour_pressure_from_rh_extremes_kpa(25.0, 18.0, 82.0, 54.0), 1.70, 0.005);
}

TEST(Air, MeanHumidityAtTheMeanTemperatureIsDrierThanEquation19) {
    EXPECT_LT(vapour_pressure_from_rh_mean_kpa(21.5, 68.0),
              0.68 * mean_saturation_vapour_pressure_kpa(25.0, 18.0));
    EXPECT_DOUBLE_EQ(vapour_pressure_from_rh_mean_kpa(21.5, 100.0),
                     saturation_vapour_pressure_kpa(21.5));
}

TEST(Air, DewPointTurnsSaturationRound) {
    for (double t = -60.0; t <= 40.0; t += 2.5) {
        EXPECT_NEAR(dew_point_c(vapour_pressure_from_dew_point_kpa(t)), t, 1e-9);
    }
    EXPECT_TRUE(std::isfinite(dew_point_c(0.0)));
    EXPECT_LT(dew_point_c(0.0), -90.0);
    EXPECT_TRUE(std::isnan(dew_point_c(kNan)));
}

TEST(Air, DeficitIsNeverNegative) {
    EXPECT_EQ(vapour_pressure_deficit_kpa(2.0, 2.3), 0.0);
    EXPECT_DOUBLE_EQ(vapour_pressure_deficit_kpa(2.0, 1.5), 0.5);
    EXPECT_TRUE(std::isnan(vapour_pressure_deficit_kpa(2.0, kNan)));
}

// Example 14.
TEST(Wind, FromTenMetresToTwo) {
    EXPECT_NEAR(wind_at_two_metres_m_per_s(3.2, 10.0), 2.4, 0.05);
}

TEST(Wind, AtTwoMetresItIsItself) {
    EXPECT_NEAR(wind_at_two_metres_m_per_s(3.0, 2.0), 3.0, 0.003);
}

TEST(Wind, IsAtLeastHalfAMetrePerSecond) {
    EXPECT_EQ(wind_for_equation_m_per_s(0.0), 0.5);
    EXPECT_EQ(wind_for_equation_m_per_s(0.51), 0.51);
    EXPECT_TRUE(std::isnan(wind_for_equation_m_per_s(kNan)));
}

Monthly<double> temperatures_of_example_13() {
    Monthly<double> tmean{};
    tmean.fill(kNan);
    tmean[2] = 14.1;
    tmean[3] = 16.1;
    tmean[4] = 18.8;
    return tmean;
}

// Example 13.
TEST(SoilHeat, AprilBetweenMarchAndMay) {
    EXPECT_NEAR(soil_heat_flux_mj_m2_day(temperatures_of_example_13(), kApril), 0.33, 0.005);
}

// Eq. 44, as in example 17: 0.14 · (30.2 − 29.2).
TEST(SoilHeat, OneNeighbourIsEnough) {
    Monthly<double> tmean = temperatures_of_example_13();
    tmean[4] = kNan;
    EXPECT_NEAR(soil_heat_flux_mj_m2_day(tmean, kApril), 0.14 * 2.0, 1e-12);
    tmean = temperatures_of_example_13();
    tmean[2] = kNan;
    EXPECT_NEAR(soil_heat_flux_mj_m2_day(tmean, kApril), 0.14 * 2.7, 1e-12);
}

TEST(SoilHeat, NothingIsKnownWithoutNeighbours) {
    Monthly<double> tmean = temperatures_of_example_13();
    tmean[2] = tmean[4] = kNan;
    EXPECT_EQ(soil_heat_flux_mj_m2_day(tmean, kApril), 0.0);
    EXPECT_EQ(soil_heat_flux_mj_m2_day(tmean, 8), 0.0);
}

TEST(SoilHeat, TheYearClosesOnItselfAndSumsToZero) {
    const Monthly<double> tmean{1, 2, 6, 11, 15, 19, 22, 21, 17, 12, 6, 3};
    EXPECT_NEAR(soil_heat_flux_mj_m2_day(tmean, kJanuary), 0.07 * (2 - 3), 1e-12);
    EXPECT_NEAR(soil_heat_flux_mj_m2_day(tmean, kDecember), 0.07 * (1 - 6), 1e-12);
    double sum = 0.0;
    for (int month = 0; month < kMonths; ++month) sum += soil_heat_flux_mj_m2_day(tmean, month);
    EXPECT_NEAR(sum, 0.0, 1e-12);
}

// Means of the grid that the relation was fitted to (CRU CL 1.0, 1961–1990), by rain/ETo. The
// spread about them is 3 to 6 °C, so the curve is asked to follow them to 1.5 °C.
TEST(DewPointDepression, FollowsTheGridItWasFittedTo) {
    const struct {
        double wetness;
        double depression_c;
    } bins[] = {{0.035, 7.1}, {0.075, 5.8}, {0.15, 4.2},  {0.25, 2.7},
                {0.4, 1.3},   {0.6, 0.3},   {0.85, -0.1}, {1.25, -0.5}};
    for (const auto& bin : bins) {
        EXPECT_NEAR(depression_from_aridity_c(100.0 * bin.wetness, 100.0), bin.depression_c, 1.5)
            << bin.wetness;
    }
}

TEST(DewPointDepression, FallsWithRainAndIsNeverNegative) {
    double last = depression_from_aridity_c(0.0, 100.0);
    EXPECT_GT(last, 9.0);
    for (double rain = 1.0; rain < 400.0; rain += 1.0) {
        const double now = depression_from_aridity_c(rain, 100.0);
        EXPECT_LE(now, last);
        EXPECT_GE(now, 0.0);
        EXPECT_LT(last - now, 0.5);
        last = now;
    }
}

TEST(DewPointDepression, UnknownRainGivesTheMiddleAndNoEtoGivesNone) {
    EXPECT_EQ(depression_from_aridity_c(kNan, 100.0), kDepressionWhereRainUnknownC);
    EXPECT_EQ(depression_from_aridity_c(10.0, kNan), kDepressionWhereRainUnknownC);
    EXPECT_EQ(depression_from_aridity_c(0.0, 0.0), 0.0);
}

}  // namespace
}  // namespace thirstline
