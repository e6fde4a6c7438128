#include "builder/pipeline/gradient_squares.hpp"

#include <gtest/gtest.h>

#include <map>

namespace thirstline {
namespace {

/// A lattice that begins in the midst of a square.
Lattice some_lattice() {
    Lattice lattice =
        *lattice_over_box(9 * 3600 + 1800, 44 * 3600 + 900, 20 * 3600, 55 * 3600, 900);
    lattice.tile_edge = kPlainTileEdge;
    return lattice;
}

/// How many samples each square, or tile, of the lattice holds.
std::map<std::int64_t, int> samples_by_tile(const Lattice& tiles) {
    std::map<std::int64_t, int> samples;
    for (int row = 0; row < tiles.rows; ++row) {
        for (int column = 0; column < tiles.columns; ++column) {
            if (is_gradient_sample(tiles, {row, column}))
                ++samples[tile_key(1, tile_of(tiles, {row, column}))];
        }
    }
    return samples;
}

bool is_whole(const Lattice& tiles, TileAddress tile) {
    const int last = tiles.tile_edge * tiles.tile_edge - 1;
    return contains(tiles, point_in_tile(tiles, tile, 0)) &&
           contains(tiles, point_in_tile(tiles, tile, last));
}

TEST(GradientSquares, HaveTwoSamplesOfSixteenPointsSpreadEvenly) {
    const Lattice plain = some_lattice();
    const Lattice squares = lattice_of_gradient_squares(plain);
    int whole = 0;
    for (const Lattice& tiles : {plain, squares}) {
        for (const auto& [key, count] : samples_by_tile(tiles)) {
            if (!is_whole(tiles, tile_of_key(key))) continue;
            EXPECT_EQ(count * 8, tiles.tile_edge * tiles.tile_edge);
            ++whole;
        }
    }
    EXPECT_GT(whole, 20);
}

TEST(GradientSquares, AreOfTheGlobeNotOfTheLattice) {
    const Lattice whole = some_lattice();
    Lattice part = whole;
    part.west_arcsec += 5 * part.spacing_arcsec;
    part.south_arcsec += 3 * part.spacing_arcsec;
    part.columns -= 5;
    part.rows -= 3;
    for (int row = 0; row < part.rows; ++row) {
        for (int column = 0; column < part.columns; ++column) {
            ASSERT_EQ(is_gradient_sample(part, {row, column}),
                      is_gradient_sample(whole, {row + 3, column + 5}));
        }
    }
}

TEST(GradientSquares, HoldWholeTilesOfEitherCode) {
    Lattice tiles = some_lattice();
    const Lattice squares = lattice_of_gradient_squares(tiles);
    for (const int edge : {kPlainTileEdge, kCompactTileEdge}) {
        tiles.tile_edge = edge;
        std::map<std::int64_t, std::int64_t> square_of_tile;
        for (int row = 0; row < tiles.rows; ++row) {
            for (int column = 0; column < tiles.columns; ++column) {
                const std::int64_t square = tile_key(1, tile_of(squares, {row, column}));
                const auto [known, is_new] =
                    square_of_tile.emplace(tile_key(1, tile_of(tiles, {row, column})), square);
                ASSERT_EQ(known->second, square);
            }
        }
    }
}

}  // namespace
}  // namespace thirstline
