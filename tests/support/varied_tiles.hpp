// Tiles of very different kinds for the tests of codec 1: smooth fields and noise, constants and
// extremes, full, sparse and empty ones, with every kind of gap. Everything comes from a Random.
#pragma once

#include "schema/tile/tile.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

/// `eto`, and each other layer at random. If `altered`, widths and signs are random, too: a reader
/// uses the file's own table of layers.
[[nodiscard]] TileLayout varied_layout(int edge, bool altered, Random& random);

/// A tile with randomly chosen kinds of fields, gaps and masks of points. Slots without a point
/// have no values, and a tile without points is empty: as codec 1 stores them.
[[nodiscard]] Tile varied_tile(const TileLayout& layout, Random& random);

/// The number in an environment variable, or `otherwise`.
[[nodiscard]] int number_from_environment(const char* name, int otherwise);

}  // namespace thirstline::test
