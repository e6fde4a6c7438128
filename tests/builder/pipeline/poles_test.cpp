// A world with both poles and the antimeridian in it.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/support/invented_region.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain_climate;
using test::Region;
using test::stored_at;
using test::StoredPoint;

/// Warmer in the east than in the west, with no difference in the mean of a circle of latitude.
double warm_east(Variable variable, LatLon at, int month) {
    const bool is_warmth = variable == Variable::tmax || variable == Variable::tmin;
    const double more = 5.0 * std::sin(at.lon_deg * std::numbers::pi / 180.0);
    return plain_climate(variable, at, month) + (is_warmth ? more : 0.0);
}

class Poles : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (region_ == nullptr) make_region();
        database_ = open_database(region_->path("out.sqlite"));
    }
    static void make_region() {
        region_ = new Region;
        region_->lattice = "spacing_arcsec = 36000\nbbox = [-180, -90, 180, 90]\nreach_km = 50\n";
        const RasterShape world = north_up(-180.0, 90.0, 10.0, 36, 18);
        region_->set_elevation(world, test::plain(Variable::elevation));
        using enum Variable;
        for (const Variable variable : {tmax, tmin, relative_humidity, wind, cloud, rain}) {
            region_->add_grid(variable, world, [variable](LatLon at, int month) {
                return warm_east(variable, at, month);
            });
        }
        region_->build();
    }
    static void TearDownTestSuite() { delete region_; }
    static Region* region_;
    std::unique_ptr<Database> database_;
};
Region* Poles::region_ = nullptr;

TEST_F(Poles, EveryColumnOfAPoleHoldsTheOneValueThatIsTheMeanOfAllMeridians) {
    const Lattice& lattice = database_->lattices().front();
    ASSERT_EQ(lattice.rows, 19);
    ASSERT_EQ(lattice.columns, 36);
    ASSERT_TRUE(wraps(lattice));
    for (const int row : {0, lattice.rows - 1}) {
        const StoredPoint first = stored_at(*database_, LatticePoint{row, 0});
        ASSERT_TRUE(first.present);
        for (int month = 0; month < kMonths; ++month) {
            const auto m = static_cast<std::size_t>(month);
            EXPECT_NEAR(first.tmax_c[m], plain_climate(Variable::tmax, {90.0, 0.0}, month), 0.051);
        }
        for (int column = 1; column < lattice.columns; ++column)
            EXPECT_EQ(stored_at(*database_, LatticePoint{row, column}), first) << column;
    }
    // Elsewhere meridians differ.
    EXPECT_NE(stored_at(*database_, LatticePoint{9, 9}).tmax_c,
              stored_at(*database_, LatticePoint{9, 27}).tmax_c);
}

TEST_F(Poles, APoleAnswersAlikeWhateverTheLongitude) {
    for (const double lat : {90.0, -90.0}) {
        const auto at_zero = database_->answer(to_e7({lat, 0.0}));
        ASSERT_TRUE(at_zero);
        EXPECT_TRUE(at_zero->found);
        for (const double lon : {-180.0, -123.4, -5.0, 77.7, 179.9999999}) {
            const auto answer = database_->answer(to_e7({lat, lon}));
            ASSERT_TRUE(answer);
            EXPECT_TRUE(answer->interpolated);
            EXPECT_EQ(answer->of(LayerId::eto), at_zero->of(LayerId::eto)) << lon;
            EXPECT_EQ(answer->of(LayerId::tmax), at_zero->of(LayerId::tmax)) << lon;
        }
    }
}

TEST_F(Poles, IsContinuousAcrossTheAntimeridian) {
    const auto west = database_->answer(to_e7({5.0, -180.0}));
    const auto east = database_->answer(to_e7({5.0, 179.9999999}));
    const auto between = database_->answer(to_e7({5.0, 175.0}));
    ASSERT_TRUE(west && east && between);
    EXPECT_TRUE(east->interpolated);
    EXPECT_TRUE(between->interpolated);
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(east->of(LayerId::tmax)[month], west->of(LayerId::tmax)[month], 1.0);
}

// A box that crosses the antimeridian holds the same points as the world has there.
TEST_F(Poles, ABoxAcrossTheAntimeridianIsAPartOfTheWorld) {
    Region part;
    part.lattice = "spacing_arcsec = 36000\nbbox = [160, -20, -160, 20]\n";
    const RasterShape world = north_up(-180.0, 90.0, 10.0, 36, 18);
    part.set_elevation(world, test::plain(Variable::elevation));
    using enum Variable;
    for (const Variable variable : {tmax, tmin, relative_humidity, wind, cloud, rain}) {
        part.add_grid(variable, world,
                      [variable](LatLon at, int month) { return warm_east(variable, at, month); });
    }
    EXPECT_EQ(part.build().totals.points, 25);
    const auto database = open_database(part.path("out.sqlite"));
    for (int row = 0; row < 5; ++row) {
        for (int column = 0; column < 5; ++column) {
            EXPECT_EQ(stored_at(*database, LatticePoint{row, column}),
                      stored_at(*database_, LatticePoint{7 + row, (34 + column) % 36}))
                << row << " " << column;
        }
    }
}

}  // namespace
}  // namespace thirstline
