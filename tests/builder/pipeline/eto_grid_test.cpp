// A grid of ETo itself wins where it has data, and drivers speak where it has none.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/invented_region.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain;
using test::plain_climate;
using test::Region;
using test::stored_at;
using test::StoredPoint;

const std::string kTerms = "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"\n";
RasterShape shape_of_eto() {
    return north_up(8.0, 51.0, 1.0, 8, 8);
}

TEST(EtoGrid, WinsWhereItHasDataAndFallsBackElsewhere) {
    Region region;
    region.add_plain_grids(shape_of_eto());
    region.add_grid(
        Variable::eto, shape_of_eto(),
        [](LatLon at, int month) {
            if (at.lon_deg > 12.0) return std::nan("");
            // One that cannot be: the drivers must speak there instead.
            return at == LatLon{46.5, 10.5} && month == 5 ? -2.0
                                                          : plain_climate(Variable::eto, at, month);
        },
        kTerms);
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const StoredPoint west = stored_at(*database, LatLon{47.5, 11.5});
    const StoredPoint east = stored_at(*database, LatLon{47.5, 12.5});
    const StoredPoint holed = stored_at(*database, LatLon{46.5, 10.5});
    Method taken;
    taken.equation = EtoEquation::grid_of_eto;
    taken.correction = SiteCorrection::not_done_grid_of_eto;
    for (int month = 0; month < kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month);
        const double eto = plain_climate(Variable::eto, {}, month);
        EXPECT_EQ(west.method_code[m], method_code(taken));
        EXPECT_NEAR(west.eto_mm_per_day[m], eto, 0.0051);
        EXPECT_EQ(east.method_code[m], method_code({}));
        EXPECT_GT(std::abs(east.eto_mm_per_day[m] - eto), 0.1);
        EXPECT_EQ(holed.method_code[m], month == 5 ? method_code({}) : method_code(taken));
        // The rest of the point is as everywhere.
        EXPECT_EQ(west.rain_mm[m], east.rain_mm[m]);
        EXPECT_EQ(west.tmax_c[m], east.tmax_c[m]);
    }
    EXPECT_EQ(holed.eto_mm_per_day[5], east.eto_mm_per_day[5]);
    EXPECT_EQ(method_name(taken), "eto-grid");

    // The grid's values are used at the points of its own, and the drivers of Penman–Monteith only
    // at the others.
    const std::int64_t of_grid = outcome.totals.months_by_method.at(method_code(taken));
    EXPECT_EQ(outcome.totals.tallies[6].used, of_grid);
    EXPECT_EQ(outcome.totals.tallies[3].used, 49 * kMonths - of_grid);
    EXPECT_EQ(outcome.totals.tallies[5].used, 49 * kMonths);
    EXPECT_EQ(outcome.totals.tallies[6].rejected.at("outside the plausible range"), 1);
}

TEST(EtoGrid, NeedsNothingElse) {
    Region region;
    region.leave_out_elevation();
    region.add_grid(Variable::eto, shape_of_eto(), plain(Variable::eto), kTerms);
    const BuildOutcome outcome = region.build();
    EXPECT_EQ(outcome.totals.points, 49);
    EXPECT_EQ(outcome.totals.points_without_rain, 49);
    const auto database = open_database(region.path("out.sqlite"));
    const StoredPoint point = stored_at(*database, LatLon{46.5, 11.5});
    EXPECT_NEAR(point.eto_mm_per_day[6], plain_climate(Variable::eto, {}, 6), 0.0051);
    EXPECT_TRUE(std::isnan(point.rain_mm[0]));
    EXPECT_TRUE(std::isnan(point.tmax_c[0]));
    EXPECT_TRUE(std::isnan(point.elevation_m));
}

TEST(EtoGrid, OfTheTallReferenceServesATallBaseline) {
    Region region;
    region.leave_out_elevation();
    region.baseline = "reference = \"tall\"\n";
    region.add_grid(Variable::eto, shape_of_eto(), plain(Variable::eto),
                    "reference = \"tall\"\nequation = \"ASCE-EWRI 2005\"\n");
    EXPECT_EQ(region.build().totals.points, 49);
}

}  // namespace
}  // namespace thirstline
