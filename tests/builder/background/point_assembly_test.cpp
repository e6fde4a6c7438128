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

TEST(PointAssembly, UsesTheFirstGridThatHasData) {
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
TEST(PointAssembly, AdjustsTemperatureAndHumidityFromTheCellsElevation) {
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

TEST(PointAssembly, AdjustsNothingWithoutAnElevation) {
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

TEST(PointAssembly, IgnoresAnImplausibleRange) {
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

std::int8_t used(const AssembledPoint& point, Variable variable, std::size_t month = 0) {
    return point.grid_of[static_cast<std::size_t>(variable)][month];
}

TEST(PointAssembly, TheRangeCompletesTheExtremes) {
    using enum Variable;
    const AssembledPoint both = assembled({grid_of(tmean, 14.0), grid_of(temperature_range, 9.0)});
    EXPECT_NEAR(both.climate.tmax_c[0], 18.5, 1e-6);
    EXPECT_NEAR(both.climate.tmin_c[0], 9.5, 1e-6);
    EXPECT_EQ(used(both, tmean), 0);
    EXPECT_EQ(used(both, temperature_range), 1);

    const AssembledPoint one = assembled(
        {grid_of(tmax, 20.0, 300.0), grid_of(tmean, 3.0, 300.0), grid_of(temperature_range, 12.0)},
        1300.0);
    const LapseRates rates = default_lapse_rates(kPlace.lat_deg);
    EXPECT_NEAR(one.climate.tmin_c[0], 8.0 - rates.tmin_c_per_km[0], 1e-5)
        << "the range is exact, the mean is not; both extremes are at the cells of Tmax";
    EXPECT_EQ(used(one, tmean), kNoGrid);
    EXPECT_EQ(used(one, temperature_range), 2);

    const AssembledPoint given =
        assembled({grid_of(tmax, 20.0), grid_of(tmin, 9.0), grid_of(temperature_range, 30.0)});
    EXPECT_EQ(given.climate.tmin_c[0], 9.0);
    EXPECT_EQ(used(given, temperature_range), kNoGrid);
    const AssembledPoint alone = assembled({grid_of(temperature_range, 12.0)});
    EXPECT_TRUE(std::isnan(alone.climate.tmax_c[0]));
    EXPECT_EQ(used(alone, temperature_range), kNoGrid);
}

// q = 0.622 e / (p − 0.378 e) at e = 1.2 kPa and the pressure of FAO-56, table 2.1 (eq. 7), at
// 1000 m: 90.0 kPa.
TEST(PointAssembly, SpecificHumidityBecomesVapourPressureAtItsCells) {
    using enum Variable;
    const double q = 0.622 * 1.2 / (90.0 - 0.378 * 1.2);
    const AssembledPoint at_cells =
        assembled({grid_of(tmax, 25.0, 1000.0), grid_of(tmin, 12.0, 1000.0),
                   grid_of(specific_humidity, q, 1000.0), grid_of(dew_point, 1.0, 1000.0)},
                  1000.0);
    EXPECT_NEAR(at_cells.climate.vapour_pressure_kpa[0], 1.2, 0.001);
    EXPECT_EQ(used(at_cells, specific_humidity), 2);
    const AssembledPoint higher =
        assembled({grid_of(tmax, 25.0, 1000.0), grid_of(tmin, 12.0, 1000.0),
                   grid_of(specific_humidity, q, 1000.0)},
                  2000.0);
    const double lambda = default_lapse_rates(kPlace.lat_deg).vapour_pressure_per_km[0];
    EXPECT_NEAR(higher.climate.vapour_pressure_kpa[0], 1.2 * std::exp(-lambda), 0.001);

    const AssembledPoint unknown_ground = assembled({grid_of(specific_humidity, q)});
    EXPECT_TRUE(std::isnan(unknown_ground.climate.vapour_pressure_kpa[0]));
    EXPECT_EQ(used(unknown_ground, specific_humidity), kNoGrid);
    const AssembledPoint better =
        assembled({grid_of(specific_humidity, q, 100.0), grid_of(vapour_pressure, 0.9, 100.0)});
    EXPECT_NEAR(better.climate.vapour_pressure_kpa[0], 0.9, 1e-6);
    EXPECT_EQ(used(better, specific_humidity), kNoGrid);

    const AssembledPoint wet = assembled({grid_of(tmax, 5.0, 100.0), grid_of(tmin, 1.0, 100.0),
                                          grid_of(specific_humidity, 0.02, 100.0)});
    EXPECT_TRUE(std::isnan(wet.climate.vapour_pressure_kpa[0]));
    EXPECT_EQ(rejections_of(wet, CombinedRule::over_saturation), kMonths);
    EXPECT_EQ(wet.rejections.front().grid, 2);
}

double vapour_pressure_by_relative_humidity_kpa(const AssembledPoint& point) {
    const PointClimate& c = point.climate;
    return vapour_pressure_from_rh_mean_kpa((c.tmax_c[0] + c.tmin_c[0]) / 2.0,
                                            c.relative_humidity_percent[0]);
}

// FAO-56, example 5: 18 and 25 °C with 82 and 54 % give 1.70 kPa.
TEST(PointAssembly, ExtremesOfRelativeHumidityAreBetterThanItsMean) {
    using enum Variable;
    const std::vector<GridAtPlace> grids{
        grid_of(tmax, 25.0), grid_of(tmin, 18.0), grid_of(relative_humidity, 40.0),
        grid_of(relative_humidity_max, 82.0), grid_of(relative_humidity_min, 54.0)};
    const AssembledPoint point = assembled(grids);
    EXPECT_NEAR(vapour_pressure_by_relative_humidity_kpa(point), 1.70, 0.005);
    EXPECT_EQ(used(point, relative_humidity), kNoGrid);
    EXPECT_EQ(used(point, relative_humidity_max), 3);
    EXPECT_EQ(used(point, relative_humidity_min), 4);
    const AssembledPoint one = assembled({grids.begin(), grids.end() - 1});
    EXPECT_EQ(one.climate.relative_humidity_percent[0], 40.0);
    EXPECT_EQ(used(one, relative_humidity_max), kNoGrid);
}

// FAO-56, examples 5 and 6: the same air has a deficit of 0.91 kPa.
TEST(PointAssembly, TheDeficitGivesHumidityWhereNothingElseDoes) {
    using enum Variable;
    const std::vector<GridAtPlace> temperatures{grid_of(tmax, 25.0, 500.0),
                                                grid_of(tmin, 18.0, 500.0)};
    const auto with = [&temperatures](std::initializer_list<GridAtPlace> more) {
        std::vector<GridAtPlace> grids = temperatures;
        grids.insert(grids.end(), more);
        return grids;
    };
    const AssembledPoint mean =
        assembled(with({grid_of(vapour_pressure_deficit, 0.91, 500.0)}), 500.0);
    EXPECT_NEAR(vapour_pressure_by_relative_humidity_kpa(mean), 1.70, 0.01);
    EXPECT_EQ(used(mean, vapour_pressure_deficit), 2);

    const double es_max = saturation_vapour_pressure_kpa(25.0);
    const double es_min = saturation_vapour_pressure_kpa(18.0);
    const AssembledPoint extremes =
        assembled(with({grid_of(vapour_pressure_deficit_max, es_max - 1.7, 500.0),
                        grid_of(vapour_pressure_deficit_min, es_min - 1.7, 500.0)}),
                  500.0);
    EXPECT_NEAR(vapour_pressure_by_relative_humidity_kpa(extremes), 1.7, 1e-5);

    const AssembledPoint better = assembled(
        with({grid_of(vapour_pressure_deficit, 0.91, 500.0), grid_of(relative_humidity, 70.0)}),
        500.0);
    EXPECT_EQ(better.climate.relative_humidity_percent[0], 70.0);
    EXPECT_EQ(used(better, vapour_pressure_deficit), kNoGrid);

    // The deficit's cells are 400 m higher than those of the temperatures, and the air there
    // colder.
    const LapseRates rates = default_lapse_rates(kPlace.lat_deg);
    const double es_there = mean_saturation_vapour_pressure_kpa(
        25.0 - 0.4 * rates.tmax_c_per_km[0], 18.0 - 0.4 * rates.tmin_c_per_km[0]);
    const AssembledPoint higher =
        assembled(with({grid_of(vapour_pressure_deficit, 0.91, 900.0)}), 900.0);
    EXPECT_NEAR(vapour_pressure_by_relative_humidity_kpa(higher), es_there - 0.91, 1e-5);

    const AssembledPoint impossible =
        assembled(with({grid_of(vapour_pressure_deficit, 3.0, 500.0)}), 500.0);
    EXPECT_TRUE(std::isnan(impossible.climate.relative_humidity_percent[0]));
    EXPECT_EQ(rejections_of(impossible, CombinedRule::deficit_over_saturation), kMonths);
}

TEST(PointAssembly, ComputesSpeedFromComponents) {
    using enum Variable;
    const AssembledPoint components = assembled({grid_of(wind_u, -3.0), grid_of(wind_v, 4.0)});
    EXPECT_NEAR(components.climate.u2_m_per_s[0], 5.0, 1e-6);
    EXPECT_EQ(used(components, wind_u), 0);
    EXPECT_EQ(used(components, wind_v), 1);
    GridAtPlace speed = grid_of(wind, 2.0);
    speed.sample.values[4] = std::nanf("");
    const AssembledPoint mixed = assembled({grid_of(wind_u, -3.0), grid_of(wind_v, 4.0), speed});
    EXPECT_EQ(mixed.climate.u2_m_per_s[0], 2.0);
    EXPECT_EQ(used(mixed, wind_u), kNoGrid);
    EXPECT_NEAR(mixed.climate.u2_m_per_s[4], 5.0, 1e-6);
    EXPECT_EQ(used(mixed, wind_v, 4), 1);
    EXPECT_TRUE(std::isnan(assembled({grid_of(wind_u, -3.0)}).climate.u2_m_per_s[0]));
}

TEST(PointAssembly, ExtremesOfHumidityThatAreReversedAreNotUsed) {
    using enum Variable;
    const AssembledPoint point =
        assembled({grid_of(tmax, 25.0, 100.0), grid_of(tmin, 18.0, 100.0),
                   grid_of(relative_humidity_max, 54.0), grid_of(relative_humidity_min, 82.0),
                   grid_of(vapour_pressure_deficit_max, 0.3, 100.0),
                   grid_of(vapour_pressure_deficit_min, 1.4, 100.0)});
    EXPECT_TRUE(std::isnan(point.climate.relative_humidity_percent[0]));
    EXPECT_EQ(rejections_of(point, CombinedRule::reversed_humidity), 4 * kMonths);
}

}  // namespace
}  // namespace thirstline
