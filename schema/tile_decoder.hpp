// Codec 1 of a tile, read into a Tile: tile_code.h with C++ around it.
//
// Thread safety: pure. Nothing is read outside `data`, whatever stands in it.
#pragma once

#include <cstdint>
#include <span>

#include "schema/result.hpp"
#include "schema/tile.hpp"

namespace thirstline {

/// Points along the side of a block, and blocks along the side of a tile: only so many points are
/// decoded together. A tile of up to 8 × 8 points is one block.
[[nodiscard]] int block_edge(int tile_edge);
[[nodiscard]] int blocks_along(int tile_edge);

/// The layers of `layout`: all that the tile was written with, or, without `reads_all`, the first
/// of them. Errors (bad_database): bytes that no writer makes.
[[nodiscard]] Result<Tile> predictively_decoded(const TileLayout& layout,
                                                std::span<const std::uint8_t> data,
                                                bool reads_all = true);

}  // namespace thirstline
