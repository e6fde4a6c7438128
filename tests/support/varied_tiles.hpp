// Tiles of very different kinds for the tests of codec 1: smooth fields and noise, constants and
// extremes, full, sparse and empty ones, with every kind of gap. Everything comes from a Random.
#pragma once

#include "schema/tile/tile.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

/// `eto` and each other layer by chance. Where `altered`, widths and signs are by chance too: a
/// reader goes by the file's own table of layers.
[[nodiscard]] TileLayout varied_layout(int edge, bool altered, Random& random);

/// A tile in which each layer's field, gaps and the mask of points are of a kind drawn anew. Slots
/// without a point miss everything, and a tile without points holds nothing: as codec 1 keeps them.
[[nodiscard]] Tile varied_tile(const TileLayout& layout, Random& random);

/// The number that an environment variable holds, or `otherwise`.
[[nodiscard]] int number_from_environment(const char* name, int otherwise);

}  // namespace thirstline::test
