#include "schema/answer/nearest_point.hpp"

#include <gtest/gtest.h>

#include <tuple>

#include "schema/geo/chord.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;
using test::World;

/// Every point of the lattice, looked at one after another.
std::optional<NearestPoint> nearest_of_all(LatLonE7 position, const Lattice& lattice,
                                           std::int32_t reach_m, const World& world) {
    std::optional<NearestPoint> best;
    std::int64_t best_squared = 0;
    for (std::int32_t row = 0; row < lattice.rows; ++row) {
        for (std::int32_t column = 0; column < lattice.columns; ++column) {
            if (!world.has_data(lattice, {row, column})) continue;
            const std::int64_t squared = squared_chord_q60(
                unit_vector_q30(position), unit_vector_q30(position_e7_of(lattice, {row, column})));
            const std::int32_t metres = metres_of_squared_chord(squared);
            if (metres > reach_m || (best && squared >= best_squared)) continue;
            best = NearestPoint{{row, column}, metres};
            best_squared = squared;
        }
    }
    return best;
}

void compare(const World& world, const Lattice& lattice, LatLonE7 position, std::int32_t reach_m) {
    test::WorldTiles tiles(world);
    const auto found = nearest_point(position, lattice, reach_m, tiles);
    ASSERT_TRUE(found.has_value());
    const auto expected = nearest_of_all(position, lattice, reach_m, world);
    ASSERT_EQ(found->has_value(), expected.has_value())
        << position.lat_e7 << "," << position.lon_e7 << " within " << reach_m << " m";
    if (!expected) return;
    EXPECT_EQ((*found)->distance_m, expected->distance_m);
    EXPECT_EQ((*found)->point, expected->point)
        << position.lat_e7 << "," << position.lon_e7 << " over " << lattice.rows << " x "
        << lattice.columns << " points from " << lattice.south_arcsec << "," << lattice.west_arcsec;
    const double arc_m =
        1000 *
        great_circle_km(to_degrees(position), to_degrees(position_e7_of(lattice, expected->point)));
    if (arc_m < 400'000) {
        EXPECT_NEAR((*found)->distance_m, arc_m, 2 + 2e-4 * arc_m);
    }
}

class NearestPointOver : public testing::TestWithParam<Sort> {};

TEST_P(NearestPointOver, IsThatOfAllPoints) {
    const std::uint32_t seed = 60 + static_cast<std::uint32_t>(GetParam());
    SCOPED_TRACE(seed);
    Random random(seed);
    for (int round = 0; round < 60; ++round) {
        World world;
        world.layout = test::layout_of(4, {LayerId::eto});
        const Lattice lattice = test::random_lattice(GetParam(), 1, 4, random);
        test::fill_lattice(world, lattice, random, static_cast<int>(random.between(0, 40)));
        for (const LatLonE7 position : test::positions_about(lattice, random, 25)) {
            const auto reach_m = static_cast<std::int32_t>(
                random.chance(30) ? 20'000'000 : random.between(0, 3'000'000));
            compare(world, lattice, position, reach_m);
            if (HasFailure()) return;
        }
        const LatLonE7 anywhere{
            static_cast<std::int32_t>(random.between(-900'000'000, 900'000'000)),
            static_cast<std::int32_t>(random.between(-1'800'000'000, 1'799'999'999))};
        compare(world, lattice, anywhere, 20'000'000);
    }
}

INSTANTIATE_TEST_SUITE_P(Sorts, NearestPointOver,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

TEST(NearestPoint, PointsAllRoundAPoleAreAllEquallyFar) {
    // Rows of 1° from 88° to 89° N, the pole itself left out: from the pole every point of the top
    // row is 111 km away, but for rounding, and every query must get the same one.
    World world;
    world.layout = test::layout_of(4, {LayerId::eto});
    const Lattice lattice = test::lattice_of(-648'000, 88 * 3'600, 3'600, 360, 2, 4);
    Random random(65);
    test::fill_lattice(world, lattice, random, 100);
    for (std::int32_t lon_e7 = -1'800'000'000; lon_e7 < 1'700'000'000; lon_e7 += 123'456'789)
        compare(world, lattice, {900'000'000, lon_e7}, 200'000);
    compare(world, lattice, {899'999'000, 1'000'000'000}, 200'000);
}

TEST(NearestPoint, EqualChordsGoSouthAndWest) {
    World world;
    world.layout = test::layout_of(4, {LayerId::eto});
    const Lattice lattice = test::lattice_of(-3'600, -3'600, 3'600, 3, 3, 4);
    Random random(66);
    test::fill_lattice(world, lattice, random, 100);
    test::WorldTiles tiles(world);
    const auto middle = nearest_point({5'000'000, 0}, lattice, 100'000, tiles);
    ASSERT_TRUE(middle.has_value() && middle->has_value());
    EXPECT_EQ((*middle)->point, (LatticePoint{1, 1}));
    const auto between = nearest_point({0, 5'000'000}, lattice, 100'000, tiles);
    ASSERT_TRUE(between.has_value() && between->has_value());
    EXPECT_EQ((*between)->point, (LatticePoint{1, 1}));
}

TEST(NearestPoint, ReachIsInclusive) {
    World world;
    world.layout = test::layout_of(4, {LayerId::eto});
    const Lattice lattice = test::lattice_of(0, 0, 3'600, 1, 1, 4);
    Random random(67);
    test::fill_lattice(world, lattice, random, 100);
    test::WorldTiles tiles(world);
    const LatLonE7 position{20'000'000, 0};  // 2° of 111.195 km, and 11 m less for the chord
    const auto found = nearest_point(position, lattice, 20'000'000, tiles);
    ASSERT_TRUE(found.has_value() && found->has_value());
    const std::int32_t distance_m = (*found)->distance_m;
    EXPECT_NEAR(distance_m, 222'379, 2);
    EXPECT_TRUE((*nearest_point(position, lattice, distance_m, tiles)).has_value());
    EXPECT_FALSE((*nearest_point(position, lattice, distance_m - 1, tiles)).has_value());
    EXPECT_TRUE((*nearest_point({0, 0}, lattice, 0, tiles)).has_value());
}

}  // namespace
}  // namespace thirstline
