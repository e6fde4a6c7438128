// Codec 1 of a tile, the writing side: a predictive code of small blocks. See TILE_CODE.md; the
// reading side is tile_code.h.
//
// Integers only, so that the same tile gives the same bytes on every machine.
#pragma once

#include <cstdint>
#include <vector>

#include "schema/tile/tile.hpp"

namespace thirstline {

/// The tile's bytes in codec 1. The tile must fit the layout and hold values within its layers'
/// ranges (encode_tile checks both). Values in slots without a point are not kept.
[[nodiscard]] std::vector<std::uint8_t> predictively_coded(const TileLayout& layout,
                                                           const Tile& tile);

}  // namespace thirstline
