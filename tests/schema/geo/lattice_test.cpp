#include "schema/geo/lattice.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <set>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::lattice_of;
using test::Random;
using test::Sort;

Lattice over(std::int32_t west, std::int32_t south, std::int32_t east, std::int32_t north,
             std::int32_t spacing) {
    auto made = lattice_over_box(west, south, east, north, spacing);
    EXPECT_TRUE(made.has_value());
    return made ? *made : Lattice{};
}

TEST(LatticeOverBox, NorthAndEastEdgesAreIncludedWhereTheyFallOnAPoint) {
    const Lattice exact = over(-450'000, 86'400, -237'600, 180'000, 900);
    EXPECT_EQ(exact.columns, 237);
    EXPECT_EQ(exact.rows, 105);
    EXPECT_EQ(position_e7_of(exact, {104, 236}), (LatLonE7{500'000'000, -660'000'000}));
    const Lattice short_of_it = over(0, 0, 3'599, 3'599, 900);
    EXPECT_EQ(short_of_it.columns, 4);
    EXPECT_EQ(short_of_it.rows, 4);
    const Lattice one_point = over(7, 8, 7, 8, 900);
    EXPECT_EQ(one_point.columns, 1);
    EXPECT_EQ(one_point.rows, 1);
}

TEST(LatticeOverBox, ACoincidentEastColumnIsDroppedAndTheLatticeCloses) {
    const Lattice world = over(-648'000, -324'000, 648'000, 324'000, 900);
    EXPECT_EQ(world.columns, 1440);
    EXPECT_EQ(world.rows, 721);
    EXPECT_TRUE(wraps(world));
    // An east edge short of the first column again: nothing to drop, and the circle closes as well.
    const Lattice short_of_it = over(-648'000, -324'000, 647'999, 324'000, 36'000);
    EXPECT_EQ(short_of_it.columns, 36);
    EXPECT_TRUE(wraps(short_of_it));
    EXPECT_FALSE(wraps(over(-648'000, 0, 600'000, 0, 36'000)));
    // 360° that the spacing does not divide: the last column stays short of the first.
    const Lattice gap = over(0, 0, 1'296'000, 0, 35'000);
    EXPECT_EQ(gap.columns, 38);
    EXPECT_FALSE(wraps(gap));
}

TEST(LatticeOverBox, ABoxMayCrossTheAntimeridian) {
    const Lattice crossing = over(630'000, 0, 666'000, 3'600, 3'600);  // 175° E to 175° W
    EXPECT_EQ(crossing.west_arcsec, 630'000);
    EXPECT_EQ(crossing.columns, 11);
    EXPECT_EQ(position_e7_of(crossing, {0, 5}).lon_e7, -1'800'000'000);
    EXPECT_EQ(position_e7_of(crossing, {0, 10}).lon_e7, -1'750'000'000);
    EXPECT_EQ(position_of(crossing, {1, 10}), (LatLon{1.0, -175.0}));
    // The same box, named from the other side of the circle.
    EXPECT_EQ(over(630'000 - 1'296'000, 0, 666'000 - 1'296'000, 3'600, 3'600), crossing);
    EXPECT_EQ(over(648'000, 0, 666'000, 3'600, 3'600).west_arcsec, -648'000);
}

TEST(LatticeOverBox, ImpossibleBoxesAreRefused) {
    for (const auto& refused :
         {lattice_over_box(0, 0, 900, 900, 0), lattice_over_box(0, 0, 900, 900, 36'001),
          lattice_over_box(0, -324'001, 900, 900, 900), lattice_over_box(0, 0, 900, 324'001, 900),
          lattice_over_box(0, 900, 900, 0, 900), lattice_over_box(900, 0, 0, 900, 900),
          lattice_over_box(0, 0, 1'296'001, 900, 900),
          lattice_over_box(INT32_MIN, 0, INT32_MAX, 900, 900)}) {
        ASSERT_FALSE(refused.has_value());
        EXPECT_EQ(refused.error().code, ErrorCode::bad_input);
    }
}

TEST(CheckLattice, RefusesEveryImpossibleNumber) {
    Lattice sound = lattice_of(0, 0, 900, 10, 10, 8);
    sound.reach_m = 50'000;
    ASSERT_TRUE(check_lattice(sound).has_value());
    const auto refused = [&sound](auto change) {
        Lattice changed = sound;
        change(changed);
        const auto checked = check_lattice(changed);
        return !checked && checked.error().code == ErrorCode::bad_database;
    };
    EXPECT_TRUE(refused([](Lattice& l) { l.id = 0; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.id = 4'096; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.west_arcsec = 648'000; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.west_arcsec = INT32_MIN; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.south_arcsec = -324'001; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.south_arcsec = INT32_MAX; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.spacing_arcsec = 0; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.spacing_arcsec = INT32_MAX; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.columns = 0; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.columns = 1'442; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.columns = 1'441; }));  // its last column is its first
    EXPECT_TRUE(refused([](Lattice& l) { l.columns = INT32_MAX; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.rows = 0; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.rows = 362; }));  // the 361st lies at the pole
    EXPECT_TRUE(refused([](Lattice& l) { l.rows = INT32_MAX; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.tile_edge = 1; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.tile_edge = 65; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.reach_m = -1; }));
    EXPECT_TRUE(refused([](Lattice& l) { l.reach_m = 20'000'001; }));
    // So fine, and so far past the antimeridian, that its tile columns would not fit the key.
    EXPECT_TRUE(refused([](Lattice& l) { l = lattice_of(647'999, 0, 1, 1'296'000, 1, 2); }));
}

TEST(Tiles, KeysAreReversible) {
    for (const int id : {1, 77, 4'095}) {
        for (const TileAddress tile : {TileAddress{0, 0},
                                       {1, 2},
                                       {324'000, 648'000},
                                       {1'048'575, 1'048'575},
                                       {0, 1'048'575},
                                       {1'048'575, 0}}) {
            const std::int64_t key = tile_key(id, tile);
            EXPECT_GT(key, 0);
            EXPECT_EQ(lattice_id_of_key(key), id);
            EXPECT_EQ(tile_of_key(key), tile);
        }
    }
    EXPECT_EQ(tile_key(1, {2, 3}), (std::int64_t{1} << 40) + 2 * 1'048'576 + 3);
}

TEST(Tiles, EveryPointHasItsOwnSlot) {
    constexpr std::uint32_t kSeed = 31;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    for (int round = 0; round < 200; ++round) {
        const auto sort = static_cast<Sort>(round % 4);
        const int edge = static_cast<int>(random.between(2, 9));
        const Lattice lattice = test::random_lattice(sort, 1, edge, random);
        ASSERT_TRUE(check_lattice(lattice).has_value());
        const TileAddress first = first_tile(lattice), last = last_tile(lattice);
        std::set<std::pair<std::int64_t, int>> seen;
        for (std::int32_t row = 0; row < lattice.rows; ++row) {
            for (std::int32_t column = 0; column < lattice.columns; ++column) {
                const LatticePoint point{row, column};
                const TileAddress tile = tile_of(lattice, point);
                const int slot = slot_in_tile(lattice, point);
                EXPECT_EQ(point_in_tile(lattice, tile, slot), point);
                EXPECT_TRUE(seen.insert({tile_key(1, tile), slot}).second);
                EXPECT_GE(tile.tile_row, first.tile_row);
                EXPECT_LE(tile.tile_row, last.tile_row);
                EXPECT_GE(tile.tile_column, first.tile_column);
                EXPECT_LE(tile.tile_column, last.tile_column);
            }
        }
    }
}

TEST(Tiles, APartOfALatticeHasThePointsInTheSameTiles) {
    constexpr std::uint32_t kSeed = 32;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    for (int round = 0; round < 500; ++round) {
        const Lattice whole = test::random_lattice(round % 2 ? Sort::box : Sort::crossing, 1,
                                                   static_cast<int>(random.between(2, 9)), random);
        Lattice part = whole;
        const auto skipped = [&random](std::int32_t count) {
            return static_cast<std::int32_t>(random.between(0, count - 1));
        };
        const LatticePoint corner{skipped(whole.rows), skipped(whole.columns)};
        const std::int64_t west =
            whole.west_arcsec + std::int64_t{corner.column} * whole.spacing_arcsec;
        if (west >= 648'000) continue;  // such a part counts its columns from 180° W again
        part.west_arcsec = static_cast<std::int32_t>(west);
        part.south_arcsec += corner.row * whole.spacing_arcsec;
        part.columns -= corner.column;
        part.rows -= corner.row;
        for (const LatticePoint point :
             {LatticePoint{0, 0}, {part.rows - 1, part.columns - 1}, {0, part.columns - 1}}) {
            const LatticePoint same{point.row + corner.row, point.column + corner.column};
            EXPECT_EQ(position_e7_of(part, point), position_e7_of(whole, same));
            EXPECT_EQ(tile_of(part, point), tile_of(whole, same));
            EXPECT_EQ(slot_in_tile(part, point), slot_in_tile(whole, same));
        }
    }
}

TEST(CellOf, EdgesBelongToTheCellNorthAndEastOfThem) {
    const Lattice lattice = lattice_of(-3'600, -3'600, 3'600, 3, 3, 8);
    const auto cell = [&lattice](std::int32_t lat_e7, std::int32_t lon_e7) {
        const CellPosition at = cell_of(lattice, {lat_e7, lon_e7});
        return std::array{at.south_west.row, at.south_west.column, at.north_fraction,
                          at.east_fraction};
    };
    EXPECT_EQ(cell(-10'000'000, -10'000'000), (std::array{0, 0, 0, 0}));
    EXPECT_EQ(cell(0, 0), (std::array{1, 1, 0, 0}));
    EXPECT_EQ(cell(10'000'000, 10'000'000), (std::array{2, 2, 0, 0}));
    EXPECT_EQ(cell(-1, -1), (std::array{0, 0, 32'767, 32'767}));
    EXPECT_EQ(cell(5'000'000, -2'500'000), (std::array{1, 0, 16'384, 24'576}));
    EXPECT_EQ(cell(-10'000'001, 0), (std::array{-1, 1, 32'767, 0}));         // just south of it
    EXPECT_EQ(cell(0, -10'000'001), (std::array{1, -1, 0, 32'767}));         // just west of it
    EXPECT_EQ(cell(0, -20'000'000), (std::array{1, -1, 0, 0}));              // a cell west of it
    EXPECT_EQ(cell(0, 20'000'000), (std::array{1, 3, 0, 0}));                // a cell east of it
    EXPECT_GE(cell(0, -20'000'001)[1], 3);                                   // nowhere near
    EXPECT_EQ(cell(900'000'000, 1'234'567'890), (std::array{91, 0, 0, 0}));  // no longitude there
    EXPECT_EQ(cell(-900'000'000, 5), (std::array{-89, 0, 0, 0}));
}

TEST(CellOf, AClosingLatticeCountsItsColumnsOnce) {
    const Lattice lattice = lattice_of(-648'000 + 1'800, -324'000, 3'600, 360, 181, 8);
    // West of the first column, at 179.5° W, lies the last, at 179.5° E.
    const CellPosition seam = cell_of(lattice, {0, -1'800'000'000});
    EXPECT_EQ(seam.south_west.column, 359);
    EXPECT_EQ(seam.east_fraction, 16'384);
    EXPECT_EQ(cell_of(lattice, {0, -1'795'000'000}).south_west.column, 0);
    EXPECT_EQ(cell_of(lattice, {900'000'000, 0}).south_west, (LatticePoint{180, 0}));
    EXPECT_EQ(cell_of(lattice, {-900'000'000, 0}).south_west, (LatticePoint{0, 0}));
}

TEST(CellOf, FractionsAreThoseOfExactArithmeticRoundedDown) {
    constexpr std::uint32_t kSeed = 33;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    int compared = 0;
    for (int round = 0; round < 400; ++round) {
        const Lattice lattice = test::random_lattice(static_cast<Sort>(round % 4), 1, 8, random);
        for (const LatLonE7 position : test::positions_about(lattice, random, 50)) {
            if (std::abs(position.lat_e7) == 900'000'000) continue;
            const CellPosition cell = cell_of(lattice, position);
            // Long double has 64 bits of fraction: far finer than any step here.
            const long double rows =
                (position.lat_e7 / 1e7L * 3600 - lattice.south_arcsec) / lattice.spacing_arcsec;
            long double east = position.lon_e7 / 1e7L * 3600 - lattice.west_arcsec;
            if (cell.south_west.column >= 0 && east < -1e-9L) east += 1'296'000;
            if (cell.south_west.column < 0 && east > 0) east -= 1'296'000;
            const long double columns = east / lattice.spacing_arcsec;
            const long double north_steps = (rows - cell.south_west.row) * 32768;
            const long double east_steps = (columns - cell.south_west.column) * 32768;
            EXPECT_GT(north_steps - cell.north_fraction, -1e-6L);
            EXPECT_LT(north_steps - cell.north_fraction, 1);
            EXPECT_GT(east_steps - cell.east_fraction, -1e-6L);
            EXPECT_LT(east_steps - cell.east_fraction, 1);
            EXPECT_GE(cell.north_fraction, 0);
            EXPECT_LE(cell.north_fraction, 32'767);
            EXPECT_GE(cell.east_fraction, 0);
            EXPECT_LE(cell.east_fraction, 32'767);
            ++compared;
        }
    }
    EXPECT_GT(compared, 10'000);
}

}  // namespace
}  // namespace thirstline
