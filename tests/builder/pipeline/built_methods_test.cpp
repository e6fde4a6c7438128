// The method ladder of science.md in real builds: each rung is reached, by the points that should
// reach it and by no others, and the counts say so.
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "tests/support/invented_region.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain;
using test::plain_climate;
using test::Region;
using test::stored_at;
using test::StoredPoint;
using enum Variable;

constexpr std::int64_t kPoints = 49;

RasterShape shape_of_methods() {
    return north_up(8.0, 51.0, 1.0, 8, 8);
}

/// Counts agree with each other, and every point's every month has this method.
void expect_all(const BuildOutcome& outcome, const Method& method, std::int64_t points = kPoints) {
    const std::uint16_t code = method_code(method);
    EXPECT_EQ(outcome.totals.points, points);
    ASSERT_EQ(outcome.totals.months_by_method.size(), 1U)
        << method_note(method_of_code(outcome.totals.months_by_method.begin()->first)) << " and "
        << method_note(method_of_code(outcome.totals.months_by_method.rbegin()->first));
    EXPECT_EQ(outcome.totals.months_by_method.begin()->first, code)
        << method_name(method_of_code(outcome.totals.months_by_method.begin()->first)) << ", "
        << method_note(method_of_code(outcome.totals.months_by_method.begin()->first));
    EXPECT_EQ(outcome.totals.months_by_method.begin()->second, points * kMonths);
    EXPECT_EQ(outcome.totals.points_by_method.at(code), points);
}

/// A build of temperatures, rain and these.
BuildOutcome built_from(std::initializer_list<Variable> drivers, const std::string& baseline = "") {
    Region region;
    region.baseline = baseline;
    for (const Variable variable : {tmax, tmin, rain})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    for (const Variable variable : drivers)
        region.add_grid(variable, shape_of_methods(), plain(variable));
    return region.build();
}

TEST(BuiltMethods, FullPenmanMonteith) {
    expect_all(built_from({vapour_pressure, wind, radiation}), {});
}

TEST(BuiltMethods, HumidityStepByStep) {
    Method method;
    method.humidity = HumidityFrom::dew_point;
    expect_all(built_from({dew_point, wind, radiation, relative_humidity}), method);
    method.humidity = HumidityFrom::relative_humidity;
    expect_all(built_from({relative_humidity, wind, radiation}), method);
    method.humidity = HumidityFrom::aridity_depression;
    expect_all(built_from({wind, radiation}), method);
}

/// ETo of the middle of the lattice, from these grids and rain; all of them are counted as used.
Monthly<double> eto_from(std::initializer_list<Variable> variables, HumidityFrom humidity) {
    Region region;
    region.add_grid(rain, shape_of_methods(), plain(rain));
    for (const Variable variable : variables)
        region.add_grid(variable, shape_of_methods(), plain(variable));
    const BuildOutcome outcome = region.build();
    Method method;
    method.humidity = humidity;
    expect_all(outcome, method);
    for (std::size_t grid = 0; grid < outcome.totals.tallies.size(); ++grid) {
        EXPECT_EQ(outcome.totals.tallies[grid].used, kPoints * kMonths) << grid;
        EXPECT_TRUE(outcome.totals.tallies[grid].rejected.empty()) << grid;
    }
    const auto database = open_database(region.path("out.sqlite"));
    return stored_at(*database, LatLon{47.0, 12.0}).eto_mm_per_day;
}

TEST(BuiltMethods, TheSameWeatherInOtherFormsGivesTheSameEto) {
    const Monthly<double> plain_forms =
        eto_from({tmax, tmin, vapour_pressure, wind, radiation}, HumidityFrom::vapour_pressure);
    const Monthly<double> others[] = {
        eto_from({tmean, temperature_range, specific_humidity, wind_u, wind_v, radiation},
                 HumidityFrom::vapour_pressure),
        eto_from({tmax, temperature_range, relative_humidity_max, relative_humidity_min, wind,
                  radiation},
                 HumidityFrom::relative_humidity),
        eto_from({tmin, temperature_range, vapour_pressure_deficit, wind, radiation},
                 HumidityFrom::relative_humidity),
        eto_from({tmax, tmin, vapour_pressure_deficit_max, vapour_pressure_deficit_min, wind_u,
                  wind_v, radiation},
                 HumidityFrom::relative_humidity)};
    for (const Monthly<double>& eto : others) {
        for (std::size_t month = 0; month < kMonths; ++month)
            EXPECT_NEAR(eto[month], plain_forms[month], 0.0101) << month;
    }
}

TEST(BuiltMethods, UsesTheDefaultWind) {
    Method method;
    method.wind = WindFrom::two_m_per_s;
    expect_all(built_from({vapour_pressure, radiation}), method);
}

TEST(BuiltMethods, RadiationStepByStep) {
    Method method;
    method.radiation = RadiationFrom::sunshine;
    expect_all(built_from({vapour_pressure, wind, sunshine_hours, cloud}), method);
    expect_all(built_from({vapour_pressure, wind, sunshine_fraction, cloud}), method);
    method.radiation = RadiationFrom::cloud;
    expect_all(built_from({vapour_pressure, wind, cloud}), method);
    method.radiation = RadiationFrom::temperature_range;
    expect_all(built_from({vapour_pressure, wind}), method);
}

TEST(BuiltMethods, TemperatureAlone) {
    Method method;
    method.equation = EtoEquation::hargreaves;
    method.correction = SiteCorrection::not_wanted;
    expect_all(built_from({}), method);
    // Of which the tall reference can make nothing.
    Region tall;
    tall.baseline = "reference = \"tall\"\n";
    for (const Variable variable : {tmax, tmin, rain})
        tall.add_grid(variable, shape_of_methods(), plain(variable));
    const Error error = tall.build_error();
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("no point of the lattice"), std::string::npos) << error.message;
}

TEST(BuiltMethods, AcceptsMeanTemperature) {
    Region region;
    for (const Variable variable : {tmax, tmean, vapour_pressure, wind, radiation, rain})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    expect_all(region.build(), {});
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_NEAR(stored_at(*database, LatLon{46.5, 11.5}).tmin_c[0],
                plain_climate(tmin, {46.5, 11.5}, 0), 0.051);
}

TEST(BuiltMethods, ReportsAnOmittedCorrection) {
    Method method;
    method.correction = SiteCorrection::not_wanted;
    expect_all(built_from({vapour_pressure, wind, radiation}, "site_correction = \"none\"\n"),
               method);

    Region region;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    method.correction = SiteCorrection::not_done_rain_unknown;
    const BuildOutcome outcome = region.build();
    expect_all(outcome, method);
    EXPECT_EQ(outcome.totals.points_without_rain, kPoints);
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_TRUE(std::isnan(stored_at(*database, LatLon{46.5, 11.5}).rain_mm[0]));
}

/// Known only west of that meridian.
Field only_west_of(double lon_deg, Variable variable) {
    return [lon_deg, variable](LatLon at, int month) {
        return at.lon_deg < lon_deg ? plain_climate(variable, at, month) : std::nan("");
    };
}

// Drivers west of 3° E only. From there the surroundings reach 500 km, the ratio of Penman–Monteith
// to Hargreaves–Samani 1000 km; a degree of longitude is about 76 km here.
TEST(BuiltMethods, TheSurroundingsHelpAsFarAsTheyReach) {
    Region region;
    region.lattice = "spacing_arcsec = 3600\nbbox = [0.5, 46.5, 19.5, 48.5]\n";
    const RasterShape wide = north_up(-2.0, 51.0, 1.0, 24, 8);
    for (const Variable variable : {tmax, tmin, rain})
        region.add_grid(variable, wide, plain(variable));
    for (const Variable variable : {vapour_pressure, wind, radiation})
        region.add_grid(variable, wide, only_west_of(3.0, variable));
    region.set_elevation(wide, plain(elevation));
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const auto at = [&](double lon) { return stored_at(*database, LatLon{47.5, lon}); };

    Method nearby;
    nearby.humidity = HumidityFrom::nearby_depression;
    nearby.wind = WindFrom::nearby;
    nearby.radiation = RadiationFrom::temperature_range_fitted;
    Method scaled;
    scaled.equation = EtoEquation::hargreaves_scaled;
    scaled.correction = SiteCorrection::not_wanted;
    Method bare = scaled;
    bare.equation = EtoEquation::hargreaves;
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_EQ(at(1.5).method_code[month], method_code({}));
        EXPECT_EQ(at(5.5).method_code[month], method_code(nearby));
        EXPECT_EQ(at(12.5).method_code[month], method_code(scaled));
        EXPECT_EQ(at(19.5).method_code[month], method_code(bare));
        // The climate is the same everywhere, so the surroundings give all of it back.
        EXPECT_NEAR(at(5.5).eto_mm_per_day[month], at(1.5).eto_mm_per_day[month], 0.031);
        EXPECT_NEAR(at(12.5).eto_mm_per_day[month], at(1.5).eto_mm_per_day[month], 0.031);
    }
    EXPECT_GT(std::abs(at(19.5).eto_mm_per_day[6] - at(1.5).eto_mm_per_day[6]), 0.1);

    std::int64_t months = 0;
    for (const auto& [code, count] : outcome.totals.months_by_method) months += count;
    EXPECT_EQ(months, outcome.totals.points * kMonths);
    EXPECT_EQ(outcome.totals.months_by_method.at(method_code({})), 3 * 3 * kMonths);
    std::int64_t points = 0;
    for (const auto& [code, count] : outcome.totals.points_by_method) points += count;
    EXPECT_EQ(points, 60);
}

TEST(BuiltMethods, OneMissingMonthIsFilledForThatMonthAlone) {
    Region region;
    for (const Variable variable : {tmax, tmin, vapour_pressure, radiation, rain})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    region.add_grid(wind, shape_of_methods(), [](LatLon at, int month) {
        return at.lon_deg > 12.0 && month == 3 ? std::nan("") : plain_climate(wind, at, month);
    });
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const StoredPoint point = stored_at(*database, LatLon{46.5, 12.5});
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_EQ(method_of_code(point.method_code[month]).wind,
                  month == 3 ? WindFrom::nearby : WindFrom::given);
    }
    EXPECT_EQ(outcome.totals.points, kPoints);
    Method nearby;
    nearby.wind = WindFrom::nearby;
    // Of seven columns three lie clear of the edge at 12° E, and the point on it belongs to the
    // east.
    EXPECT_EQ(outcome.totals.points_by_method.at(method_code(nearby)), 4 * 7);
    EXPECT_EQ(outcome.totals.months_by_method.at(method_code(nearby)), 4 * 7);
}

// A value that cannot be is not used: the month takes the next rung, and the source's tally counts
// the cell once.
TEST(BuiltMethods, ARejectedValueLeadsToTheNextMethod) {
    Region region;
    for (const Variable variable : {tmax, tmin, radiation, rain})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    const LatLon bad{46.5, 13.5};
    region.add_grid(wind, shape_of_methods(), [bad](LatLon at, int month) {
        return at == bad && month == 6 ? -1.5 : plain_climate(wind, at, month);
    });
    region.add_grid(vapour_pressure, shape_of_methods(), [bad](LatLon at, int month) {
        return at == bad && month == 7 ? 5.0 : plain_climate(vapour_pressure, at, month);
    });
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const StoredPoint point = stored_at(*database, bad);
    EXPECT_EQ(method_of_code(point.method_code[6]).wind, WindFrom::nearby);
    EXPECT_EQ(method_of_code(point.method_code[5]).wind, WindFrom::given);
    EXPECT_EQ(method_of_code(point.method_code[7]).humidity, HumidityFrom::nearby_depression);
    // Surroundings of the same climate give the same ETo back.
    const StoredPoint sound = stored_at(*database, LatLon{46.5, 10.5});
    EXPECT_NEAR(point.eto_mm_per_day[6], sound.eto_mm_per_day[6], 0.031);

    const SourceTally& of_wind = outcome.totals.tallies[4];
    EXPECT_EQ(of_wind.rejected.at("negative wind"), 1);
    ASSERT_EQ(of_wind.examples.size(), 1U);
    EXPECT_EQ(of_wind.examples[0].month, 7);
    EXPECT_EQ(of_wind.examples[0].file, "wind.tif");
    EXPECT_EQ(of_wind.examples[0].position, bad);
    EXPECT_NE(of_wind.examples[0].value.find("-1.5"), std::string::npos);
    const SourceTally& of_humidity = outcome.totals.tallies[5];
    EXPECT_GE(of_humidity.rejected.at("humidity over saturation at the maximum temperature"), 1);
    EXPECT_LT(of_wind.used, kPoints * kMonths);
}

TEST(BuiltMethods, TemperaturesThatContradictEachOtherLeaveThePointOut) {
    Region region;
    const LatLon bad{46.5, 13.5};
    region.add_grid(tmax, shape_of_methods(), plain(tmax));
    region.add_grid(tmin, shape_of_methods(), [bad](LatLon at, int month) {
        return at == bad && month == 0 ? 30.0 : plain_climate(tmin, at, month);
    });
    for (const Variable variable : {vapour_pressure, wind, radiation, rain})
        region.add_grid(variable, shape_of_methods(), plain(variable));
    const BuildOutcome outcome = region.build();
    EXPECT_GE(outcome.totals.incomplete_points, 1);
    EXPECT_EQ(outcome.totals.points + outcome.totals.incomplete_points, kPoints);
    for (const std::size_t grid : {std::size_t{0}, std::size_t{1}}) {
        EXPECT_EQ(
            outcome.totals.tallies[grid].rejected.at("minimum temperature not below the maximum"),
            outcome.totals.incomplete_points);
    }
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_FALSE(stored_at(*database, bad).present);
}

TEST(BuiltMethods, TheTallReferenceIsHigherAndIsNamed) {
    Region region;
    region.add_plain_grids(shape_of_methods());
    region.build("short.sqlite");
    region.baseline = "reference = \"tall\"\n";
    expect_all(region.build("tall.sqlite"), {});
    const auto short_one = open_database(region.path("short.sqlite"));
    const auto tall_one = open_database(region.path("tall.sqlite"));
    EXPECT_EQ(short_one->metadata("reference"), "short");
    EXPECT_EQ(tall_one->metadata("reference"), "tall");
    const StoredPoint a = stored_at(*short_one, LatLon{46.5, 11.5});
    const StoredPoint b = stored_at(*tall_one, LatLon{46.5, 11.5});
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_GT(b.eto_mm_per_day[month], 1.05 * a.eto_mm_per_day[month]);
        EXPECT_LT(b.eto_mm_per_day[month], 1.9 * a.eto_mm_per_day[month]);
        EXPECT_EQ(a.tmax_c[month], b.tmax_c[month]);
    }
    // ASCE-EWRI (2005, from memory): 1.1 to 1.5 in the growing season.
    EXPECT_GT(b.eto_mm_per_day[6], 1.1 * a.eto_mm_per_day[6]);
    EXPECT_LT(b.eto_mm_per_day[6], 1.5 * a.eto_mm_per_day[6]);
}

}  // namespace
}  // namespace thirstline
