// From grids to the climate of a point.
#include "builder/background/point_assembly.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"

namespace thirstline {
namespace {

constexpr LatLon kPlace{47.0, 12.0};

GridAtPlace grid_of(Variable variable, double value, double cell_elevation_m = kUnknown) {
    GridAtPlace grid;
    grid.variable = variable;
    grid.sample.values.fill(static_cast<float>(value));
    grid.ground.elevation_m = cell_elevation_m;
    return grid;
}

AssembledPoint assembled(const std::vector<GridAtPlace>& grids, double elevation_m = 100.0) {
    return assembled_point(kPlace, elevation_m, true, grids, default_lapse_rates(kPlace.lat_deg),
                           monthly_sun(kPlace.lat_deg));
}

int rejections_of(const AssembledPoint& point, CombinedRule rule) {
    int count = 0;
    for (const CombinedRejection& rejection : point.rejections) count += rejection.rule == rule;
    return count;
}

TEST(PointAssembly, TheFirstGridThatHasDataSpeaks) {
    GridAtPlace first = grid_of(Variable::rain, 50.0);
    first.sample.values[3] = std::nanf("");
    const AssembledPoint point = assembled({first, grid_of(Variable::rain, 70.0)});
    EXPECT_EQ(point.climate.rain_mm[2], 50.0);
    EXPECT_EQ(point.climate.rain_mm[3], 70.0);
    const auto& grid_of_rain = point.grid_of[static_cast<std::size_t>(Variable::rain)];
    EXPECT_EQ(grid_of_rain[2], 0);
    EXPECT_EQ(grid_of_rain[3], 1);
    EXPECT_EQ(point.grid_of[static_cast<std::size_t>(Variable::wind)][0], kNoGrid);
}

// science.md: Tmax 6.5, Tmin 4.5 °C/km, vapour pressure by exp(−λΔz).
TEST(PointAssembly, TemperatureAndHumidityAreCarriedFromTheCellsElevation) {
    const AssembledPoint point = assembled(
        {grid_of(Variable::tmax, 20.0, 300.0), grid_of(Variable::tmin, 10.0, 300.0),
         grid_of(Variable::vapour_pressure, 1.0, 300.0), grid_of(Variable::dew_point, 7.0, 300.0),
         grid_of(Variable::wind, 3.0), grid_of(Variable::relative_humidity, 60.0)},
        1300.0);
    const LapseRates rates = default_lapse_rates(kPlace.lat_deg);
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(point.climate.tmax_c[month], 13.5, 1e-5);
        EXPECT_NEAR(point.climate.tmin_c[month], 5.5, 1e-5);
        const double lambda = rates.vapour_pressure_per_km[month];
        EXPECT_NEAR(point.climate.vapour_pressure_kpa[month], std::exp(-lambda), 1e-6);
        EXPECT_NEAR(saturation_vapour_pressure_kpa(point.climate.dew_point_c[month]),
                    saturation_vapour_pressure_kpa(7.0) * std::exp(-lambda), 1e-6);
        EXPECT_EQ(point.climate.u2_m_per_s[month], 3.0);
        EXPECT_EQ(point.climate.relative_humidity_percent[month], 60.0);
    }
    EXPECT_GT(rates.vapour_pressure_per_km[0], rates.vapour_pressure_per_km[6]);
}

TEST(PointAssembly, WithoutAnElevationNothingIsCarried) {
    for (const double cell_m : {kUnknown, 300.0}) {
        const AssembledPoint point = assembled(
            {grid_of(Variable::tmax, 20.0, cell_m), grid_of(Variable::tmin, 10.0, cell_m)},
            std::isnan(cell_m) ? 1300.0 : kUnknown);
        EXPECT_EQ(point.climate.tmax_c[0], 20.0);
        EXPECT_EQ(point.climate.tmin_c[0], 10.0);
    }
}

TEST(PointAssembly, TheMeanCompletesOneMissingExtreme) {
    const AssembledPoint no_tmin = assembled(
        {grid_of(Variable::tmax, 20.0, 300.0), grid_of(Variable::tmean, 14.0, 300.0)}, 1300.0);
    EXPECT_NEAR(no_tmin.climate.tmax_c[0], 13.5, 1e-5);
    // The mean falls by (6.5 + 4.5) / 2 a kilometre, so Tmin by 4.5.
    EXPECT_NEAR(no_tmin.climate.tmin_c[0], 8.0 - 4.5, 1e-5);
    const AssembledPoint no_tmax =
        assembled({grid_of(Variable::tmean, 14.0), grid_of(Variable::tmin, 9.0)});
    EXPECT_NEAR(no_tmax.climate.tmax_c[0], 19.0, 1e-5);
    EXPECT_EQ(no_tmax.grid_of[static_cast<std::size_t>(Variable::tmean)][0], 0);

    const AssembledPoint all =
        assembled({grid_of(Variable::tmax, 20.0), grid_of(Variable::tmin, 9.0),
                   grid_of(Variable::tmean, 3.0)});
    EXPECT_EQ(all.climate.tmax_c[0], 20.0);
    EXPECT_EQ(all.climate.tmin_c[0], 9.0);
    EXPECT_EQ(all.grid_of[static_cast<std::size_t>(Variable::tmean)][0], kNoGrid);
}

TEST(PointAssembly, AMinimumThatIsNotBelowTheMaximumTakesBothAway) {
    for (const double tmin : {20.0, 25.0}) {
        const AssembledPoint point =
            assembled({grid_of(Variable::tmax, 20.0), grid_of(Variable::tmin, tmin)});
        EXPECT_TRUE(std::isnan(point.climate.tmax_c[0]));
        EXPECT_TRUE(std::isnan(point.climate.tmin_c[0]));
        EXPECT_EQ(rejections_of(point, CombinedRule::minimum_not_below_maximum), 2 * kMonths);
        EXPECT_EQ(point.grid_of[static_cast<std::size_t>(Variable::tmax)][0], kNoGrid);
    }
    GridAtPlace tmin = grid_of(Variable::tmin, 10.0);
    tmin.sample.values[4] = 21.0F;
    const AssembledPoint one_month = assembled({grid_of(Variable::tmax, 20.0), tmin});
    EXPECT_EQ(rejections_of(one_month, CombinedRule::minimum_not_below_maximum), 2);
    EXPECT_TRUE(std::isnan(one_month.climate.tmin_c[4]));
    EXPECT_EQ(one_month.climate.tmin_c[5], 10.0);
    ASSERT_FALSE(one_month.rejections.empty());
    EXPECT_EQ(one_month.rejections.back().value, 21.0);
    EXPECT_EQ(one_month.rejections.back().month, 4);
    EXPECT_EQ(one_month.rejections.back().grid, 1);
}

// What the mean tells of the other extreme is held to the same rules as what a source gives.
TEST(PointAssembly, AMeanThatIsNotBelowTheMaximumTakesTheMaximumAway) {
    const AssembledPoint hot =
        assembled({grid_of(Variable::tmax, 20.0), grid_of(Variable::tmean, 25.0)});
    EXPECT_TRUE(std::isnan(hot.climate.tmax_c[0]));
    EXPECT_TRUE(std::isnan(hot.climate.tmin_c[0]));
    EXPECT_EQ(rejections_of(hot, CombinedRule::minimum_not_below_maximum), kMonths);
    EXPECT_EQ(hot.grid_of[static_cast<std::size_t>(Variable::tmean)][0], kNoGrid);
    const AssembledPoint wet =
        assembled({grid_of(Variable::tmin, 10.0), grid_of(Variable::tmean, 15.0),
                   grid_of(Variable::vapour_pressure, 4.0)});
    EXPECT_EQ(wet.climate.tmax_c[0], 20.0);
    EXPECT_EQ(rejections_of(wet, CombinedRule::over_saturation), kMonths);
}

// Tmax falls faster than Tmin, so that 5 °C of range would be gone 2.5 km up. That is no fault of
// the source, and the range stays open.
TEST(PointAssembly, LapseRatesDoNotCloseTheDailyRange) {
    const AssembledPoint high =
        assembled({grid_of(Variable::tmax, 20.0, 0.0), grid_of(Variable::tmin, 15.0, 0.0)}, 4000.0);
    EXPECT_TRUE(high.rejections.empty());
    EXPECT_NEAR(high.climate.tmax_c[0] - high.climate.tmin_c[0], 2.5, 1e-5);
    EXPECT_NEAR((high.climate.tmax_c[0] + high.climate.tmin_c[0]) / 2.0, 17.5 - 4.0 * 5.5, 1e-5);
}

TEST(PointAssembly, ARangeThatNoClimateHasIsNotUsed) {
    const auto rejected = [](double tmin) {
        return rejections_of(
            assembled({grid_of(Variable::tmax, 35.0), grid_of(Variable::tmin, tmin)}),
            CombinedRule::range_too_wide);
    };
    EXPECT_EQ(rejected(-4.9), 0);
    EXPECT_EQ(rejected(-5.1), 2 * kMonths);
}

TEST(PointAssembly, HumidityOverSaturationIsNotUsed) {
    const double saturation_kpa = saturation_vapour_pressure_kpa(20.0);
    const auto point_of = [](Variable variable, double value) {
        return assembled({grid_of(Variable::tmax, 20.0), grid_of(Variable::tmin, 10.0),
                          grid_of(variable, value)});
    };
    EXPECT_TRUE(point_of(Variable::vapour_pressure, saturation_kpa).rejections.empty());
    const AssembledPoint wet = point_of(Variable::vapour_pressure, saturation_kpa + 0.02);
    EXPECT_EQ(rejections_of(wet, CombinedRule::over_saturation), kMonths);
    EXPECT_TRUE(std::isnan(wet.climate.vapour_pressure_kpa[0]));
    EXPECT_TRUE(point_of(Variable::dew_point, 19.9).rejections.empty());
    EXPECT_EQ(rejections_of(point_of(Variable::dew_point, 20.1), CombinedRule::over_saturation),
              kMonths);
}

TEST(PointAssembly, NoMoreLightThanTheSkyHas) {
    const MonthlySun sun = monthly_sun(kPlace.lat_deg);
    const auto point_of = [](Variable variable, double value) {
        return assembled({grid_of(variable, value)});
    };
    // Over the slack of December, the darkest month, alone.
    const AssembledPoint bright = point_of(Variable::radiation, sun.ra_mj_m2_day[11] + 0.6);
    EXPECT_EQ(rejections_of(bright, CombinedRule::over_extraterrestrial), 1);
    EXPECT_TRUE(std::isnan(bright.climate.rs_mj_m2_day[11]));
    EXPECT_FALSE(std::isnan(bright.climate.rs_mj_m2_day[6]));
    const AssembledPoint sunny = point_of(Variable::sunshine_hours, sun.daylight_hours[11] + 0.4);
    EXPECT_GE(rejections_of(sunny, CombinedRule::over_daylight), 1);
    EXPECT_TRUE(std::isnan(sunny.climate.sunshine_hours_per_day[11]));
    EXPECT_FALSE(std::isnan(sunny.climate.sunshine_hours_per_day[6]));
}

TEST(PointAssembly, EveryRuleHasAName) {
    for (int rule = 0; rule < kCombinedRules; ++rule)
        EXPECT_FALSE(rule_name(static_cast<CombinedRule>(rule)).empty());
}

}  // namespace
}  // namespace thirstline
