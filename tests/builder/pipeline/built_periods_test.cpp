// Which normals a point's values are: the periods of all sources that speak there, and of no
// others.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/export/climatology_time.hpp"
#include "builder/export/provenance.hpp"
#include "builder/pipeline/block_tiles.hpp"
#include "schema/database/shown_period.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain;
using test::plain_climate;
using test::Region;
using test::stored_at;

RasterShape shape_of_periods() {
    return north_up(8.0, 51.0, 1.0, 8, 8);
}

std::string period_at(Database& database, LatLon at) {
    const auto text = database.period(stored_at(database, at).period);
    return text ? *text : text.error().message;
}

TEST(BuiltPeriods, CombinesPeriodsForEachPoint) {
    Region region;
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation})
        region.add_grid(variable, shape_of_periods(), plain(variable));
    region.add_grid(
        rain, shape_of_periods(),
        [](LatLon at, int month) {
            return at.lon_deg < 12.0 ? plain_climate(Variable::rain, at, month) : std::nan("");
        },
        "", "rain_west", "1961-1990");
    region.add_grid(rain, shape_of_periods(), plain(rain), "", "rain_all", "1981-2010");
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_EQ(period_at(*database, {46.5, 11.5}), "1991-2020; 1961-1990");
    EXPECT_EQ(period_at(*database, {46.5, 12.5}), "1991-2020; 1981-2010");
    EXPECT_EQ(outcome.totals.points_by_period.size(), 2U);
    EXPECT_EQ(outcome.totals.points_by_period.at(0b011) + outcome.totals.points_by_period.at(0b101),
              49);
}

// A driver that a better one made idle is in no point, and neither is its period.
TEST(BuiltPeriods, IgnoresUnusedSources) {
    Region region;
    region.add_plain_grids(shape_of_periods());
    using enum Variable;
    for (const Variable variable :
         {dew_point, relative_humidity, sunshine_fraction, cloud, tmean, rain_days})
        region.add_grid(variable, shape_of_periods(), plain(variable), "", "", "1931-1960");
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_EQ(period_at(*database, {46.5, 11.5}), "1991-2020");
    for (std::size_t grid = 0; grid < outcome.totals.tallies.size(); ++grid)
        EXPECT_EQ(outcome.totals.tallies[grid].used, grid < 6 ? 49 * kMonths : 0) << grid;
}

TEST(BuiltPeriods, IgnoresDriversWhereAGridHasEto) {
    Region region;
    region.add_grid(Variable::eto, shape_of_periods(), plain(Variable::eto),
                    "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"\n", "", "1991-2020");
    using enum Variable;
    for (const Variable variable : {vapour_pressure, wind, radiation})
        region.add_grid(variable, shape_of_periods(), plain(variable), "", "", "1931-1960");
    region.add_grid(rain, shape_of_periods(), plain(rain), "", "", "1981-2010");
    region.build();
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_EQ(period_at(*database, {46.5, 11.5}), "1991-2020; 1981-2010");
}

// The recipe's [baseline] says 1991-2020; the exports must not.
TEST(BuiltPeriods, AreThoseOfTheSourcesWhateverTheRecipeSays) {
    Region region;
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain})
        region.add_grid(variable, shape_of_periods(), plain(variable), "", "", "1961-1990");
    const BuildOutcome outcome = region.build();
    ASSERT_EQ(outcome.warnings.size(), 1U);
    EXPECT_NE(outcome.warnings[0].find("period is \"1991-2020\", and the sources that are used are "
                                       "of 1961-1990"),
              std::string::npos)
        << outcome.warnings[0];
    const auto database = open_database(region.path("out.sqlite"));
    const auto provenance = provenance_of(*database, "");
    ASSERT_TRUE(provenance);
    EXPECT_EQ(provenance->period, "1961-1990");
    EXPECT_EQ(years_of_period(provenance->period), (YearRange{1961, 1990}));
    const std::string site = test::lookup({"site", "--db", region.path("out.sqlite"), "--at",
                                           "46.5,11.5", "--format", "json"})
                                 .out;
    EXPECT_EQ(site.find("\"period\": \"1991-2020\""), std::string::npos);
}

TEST(BuiltPeriods, AreShownByKindWhereTheyDiffer) {
    Region region;
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, radiation})
        region.add_grid(variable, shape_of_periods(), plain(variable));
    region.add_grid(wind, shape_of_periods(), plain(wind), "", "", "1961-1990");
    region.add_grid(rain, shape_of_periods(), plain(rain), "", "", "1981-2010");
    region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const auto provenance = provenance_of(*database, "");
    ASSERT_TRUE(provenance);
    EXPECT_EQ(provenance->period,
              "temperature 1991-2020, rain 1981-2010, humidity 1991-2020, wind 1961-1990, "
              "radiation 1991-2020");
    EXPECT_EQ(years_of_period(provenance->period), (YearRange{1961, 2020}));
    const std::string site =
        test::lookup({"site", "--db", region.path("out.sqlite"), "--at", "46.5,11.5"}).out;
    EXPECT_NE(site.find("Normals of temperature 1991-2020"), std::string::npos) << site;
    // A station of the baseline's own period moves the grids to it.
    EXPECT_EQ(
        period_text_of(periods_by_kind({{1, "", "tmax", "1961-1990", "", "", "", 5, {}, {}},
                                        {2, "", "tmax, rain", "1991-2020", "", "", "", 5, {}, {}},
                                        {3, "", "wind", "1931-1960", "", "", "", 0, {}, {}}},
                                       "1991-2020", "2"),
                       "1991-2020"),
        "1991-2020");
}

TEST(BuiltPeriods, TheTextOfASetFollowsTheRecipe) {
    const std::vector<std::string> periods{"a", "b", "c", "d", "e", "f", "g"};
    EXPECT_EQ(period_text(0b1, periods), "a");
    EXPECT_EQ(period_text(0b1000100, periods), "c; g");
    EXPECT_EQ(period_text(0b1111111, periods), "a; b; c; d; e; f; g");
    EXPECT_EQ(period_text(0, periods), "");
}

}  // namespace
}  // namespace thirstline
