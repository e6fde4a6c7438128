// Codec 1 of a tile, decoded into a Tile: a C++ wrapper of tile_code.h.
//
// Thread safety: pure. Never reads outside `data`, for any content.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "schema/base/result.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Points along the side of a block, and blocks along the side of a tile: the points of a block are
/// decoded together. A tile of up to 8 × 8 points is one block.
[[nodiscard]] int block_edge(int tile_edge);
[[nodiscard]] int blocks_along(int tile_edge);

/// Errors (bad_database): bytes that no writer produces.
[[nodiscard]] Result<Tile> predictively_decoded(const TileLayout& layout,
                                                std::span<const std::uint8_t> data);

/// One block, numbered by rows from the south-west, as a separate tile, of edge block_edge; only
/// for tiles that are a whole number of blocks high and wide. Errors as above.
[[nodiscard]] Result<Tile> predictively_decoded_block(const TileLayout& layout,
                                                      std::span<const std::uint8_t> data,
                                                      int block);

}  // namespace thirstline
