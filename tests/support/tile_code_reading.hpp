// Coded tiles read block by block through the C reader, out of buffers of exactly the size that it
// asks for, so that a sanitiser sees any reading past them.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "schema/tile/tile.hpp"
#include "tests/support/tile_code_in_c.h"

namespace thirstline::test {

struct ReadingOptions {
    bool with_quick_tables = false;   ///< the tables that make reading faster
    std::size_t layers = 255;         ///< read so many of the layers, then stop
    std::uint32_t last_slot = 63;     ///< of each block
    std::uint8_t after_the_last = 0;  ///< what the bytes hold that may be read past the tile
};

struct Reading {
    Tile tile;          ///< what was read; what was not is missing
    bool whole = true;  ///< every block ended where its writer's did
};

/// Everything that the options ask for, of every block.
[[nodiscard]] Reading read_in_c(const TileLayout& layout, const std::vector<std::uint8_t>& data,
                                const ReadingOptions& options = {});

}  // namespace thirstline::test
