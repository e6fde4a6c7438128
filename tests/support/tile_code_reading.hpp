// Reads coded tiles block by block with the C reader, from buffers of exactly the required size, so
// that a sanitiser detects any access beyond them.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "schema/tile/tile.hpp"
#include "tests/support/tile_code_in_c.h"

namespace thirstline::test {

struct ReadingOptions {
    bool with_quick_tables = false;   ///< use the tables that make reading faster
    std::size_t layers = 255;         ///< number of layers to read before stopping
    std::uint32_t last_slot = 63;     ///< of each block
    std::uint8_t after_the_last = 0;  ///< value of the readable bytes after the tile
};

struct Reading {
    Tile tile;          ///< what was read; the rest is missing
    bool whole = true;  ///< every block ended where its writer's did
};

/// Reads everything that the options select, of every block.
[[nodiscard]] Reading read_in_c(const TileLayout& layout, const std::vector<std::uint8_t>& data,
                                const ReadingOptions& options = {});

}  // namespace thirstline::test
