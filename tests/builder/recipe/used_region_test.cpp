// The region whose tables a build uses, against distances on a sphere and boxes by hand.
#include "builder/recipe/used_region.hpp"

#include <gtest/gtest.h>

#include <random>

#include "builder/recipe/recipe.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

UsedRegion region_around(std::int32_t west_deg, std::int32_t south_deg, std::int32_t east_deg,
                         std::int32_t north_deg, double margin_km) {
    const auto lattice = lattice_over_box(west_deg * 3600, south_deg * 3600, east_deg * 3600,
                                          north_deg * 3600, 3600);
    EXPECT_TRUE(lattice);
    return {*lattice, margin_km};
}

TEST(UsedRegion, ExtendsByTheMargin) {
    // A degree of latitude is 111.19 km on the sphere of 6371 km; of longitude at 60° N half of it.
    const UsedRegion region = region_around(10, 58, 12, 60, 222.4);
    EXPECT_TRUE(region.contains({59, 11}));
    EXPECT_TRUE(region.contains({61.99, 11}));
    EXPECT_FALSE(region.contains({62.01, 11}));
    EXPECT_FALSE(region.contains({55.99, 11}));
    EXPECT_TRUE(region.contains({60, 15.99}));
    EXPECT_FALSE(region.contains({60, 16.01}));
    EXPECT_TRUE(region.contains({60, 6.01}));
    EXPECT_FALSE(region.contains({60, 5.99}));
}

TEST(UsedRegion, HoldsEveryPlaceWithinTheMarginOfAPoint) {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> lat_deg(-90, 90);
    std::uniform_real_distribution<double> lon_deg(-180, 180);
    const UsedRegion region = region_around(170, -48, 190, -34, 400.0);
    int inside = 0;
    for (int i = 0; i < 100'000; ++i) {
        const LatLon place{lat_deg(random), lon_deg(random)};
        // The nearest of the lattice's points on the box's own parallels.
        const double lat = std::clamp(place.lat_deg, -48.0, -34.0);
        const double from_middle = normalised_lon_deg(place.lon_deg - 180.0);
        const LatLon nearest{lat, 180.0 + std::clamp(from_middle, -10.0, 10.0)};
        if (great_circle_km(place, nearest) > 399.0) continue;
        ++inside;
        EXPECT_TRUE(region.contains(place)) << place.lat_deg << "," << place.lon_deg;
    }
    EXPECT_GT(inside, 500);
}

TEST(UsedRegion, CrossesTheAntimeridianAndHoldsThePoles) {
    const UsedRegion across = region_around(178, 50, 182, 52, 10.0);
    EXPECT_TRUE(across.contains({51, 179}));
    EXPECT_TRUE(across.contains({51, -179}));
    EXPECT_FALSE(across.contains({51, 177}));
    const UsedRegion arctic = region_around(0, 80, 10, 90, 50.0);
    EXPECT_TRUE(arctic.contains({89.9, -120}));
    EXPECT_FALSE(arctic.contains({85, -120}));
    const UsedRegion turn = region_around(-180, -60, 180, 60, 0.0);
    EXPECT_TRUE(turn.contains({0, 179.99}));
    EXPECT_FALSE(turn.contains({61, 0}));
    EXPECT_TRUE(UsedRegion().contains({-90, 77}));
}

/// The lattice of StationTables is 39 to 37° W, 44 to 46° N; stations count within 500 km.
class StationsOfTheRegion : public testing::Test {
  protected:
    StationsOfTheRegion() { tables_.station_margin_km = kStationMarginKm; }
    static std::string rows(const std::string& name, const std::string& lat,
                            const std::string& tmax) {
        return test::twelve_rows(name + ",XM," + lat + ",-38,100", tmax);
    }
    test::StationTables tables_;
};

TEST_F(StationsOfTheRegion, RowsOutsideAreCountedAndNotJudged) {
    tables_.add_long_table("valley", "tmax", "tmax = \"degC\"",
                           rows("Thessle", "45", "{m}") + rows("Orrmere", "45.5", "{m}.5") +
                               rows("Farhold", "20", "99999"));
    const StationSet set = tables_.stations();
    EXPECT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(set.tallies[0].outside, 12);
    EXPECT_EQ(test::rejected(set), 0);
    EXPECT_EQ(test::used(set), 24);
}

TEST_F(StationsOfTheRegion, ExchangedCoordinatesAreAnError) {
    tables_.add_long_table("valley", "tmax", "tmax = \"degC\"",
                           test::twelve_rows("Thessle,XM,-38,45,100", "{m}"));
    const Error error = tables_.error();
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("valley.csv is within 500 km of the lattice, but some would be "
                                 "with latitude and longitude exchanged"),
              std::string::npos)
        << error.message;
}

/// Far from Greenwich the exchanged latitude is impossible, and only other stations are possible.
TEST(StationsFarFromGreenwich, ExchangedCoordinatesAreAnError) {
    const auto lattice = lattice_over_box(-121 * 3600, 36 * 3600, -119 * 3600, 38 * 3600, 900);
    test::StationTables tables;
    tables.add_long_table("west", "tmax", "tmax = \"degC\"",
                          test::twelve_rows("Near,XM,-120,37,100", "{m}") +
                              test::twelve_rows("Far,XM,-80,40,100", "{m}") +
                              test::twelve_rows("Farther,XM,-75,41,100", "{m}"));
    auto recipe = tables.recipe();
    ASSERT_TRUE(recipe);
    recipe->lattice = *lattice;
    recipe->station_margin_km = kStationMarginKm;
    const auto set = read_station_sources(*recipe);
    ASSERT_FALSE(set);
    EXPECT_NE(set.error().message.find("exchanged"), std::string::npos) << set.error().message;
}

TEST_F(StationsOfTheRegion, ATableOfAnotherRegionIsEmpty) {
    tables_.add_long_table("valley", "tmax", "tmax = \"degC\"", rows("Thessle", "45", "{m}"));
    tables_.add_long_table("far", "tmax", "tmax = \"degC\"", rows("Farhold", "20", "{m}"));
    const StationSet set = tables_.stations();
    EXPECT_EQ(set.stations.size(), 1U);
    EXPECT_EQ(set.tallies[1].used, 0);
    EXPECT_EQ(set.tallies[1].outside, 12);
}

}  // namespace
}  // namespace thirstline
