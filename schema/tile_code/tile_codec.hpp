// From a tile's integers to bytes and back. One interface, whatever the codec; the number of the
// codec stands beside the bytes in the file.
//
// Codec 0 keeps plain fixed-width integers: a bitmap of the points that hold data (slot i is bit
// i mod 8 of byte i div 8), then for each layer, by ascending id, all its values in order
// (slot-major, months within), little-endian, of the layer's width. Missing is the most negative
// integer of a signed layer, the greatest of an unsigned one.
//
// Codec 1 predicts each value from its neighbours and from other months and writes what is left:
// TILE_CODE.md. What stands in slots without a point is not kept.
//
// Thread safety: pure. decode_tile never reads outside `data`, whatever stands in it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

inline constexpr int kCodecPlain = 0;
inline constexpr int kCodecPredictive = 1;
inline constexpr int kNewestCodec = kCodecPredictive;

/// Errors (internal): an unknown codec, a tile that does not fit the layout, or a value outside its
/// layer's range.
[[nodiscard]] Result<std::vector<std::uint8_t>> encode_tile(int codec, const TileLayout& layout,
                                                            const Tile& tile);

struct TileBytes {
    int codec = kNewestCodec;
    std::vector<std::uint8_t> data;
};

/// The newest codec, or codec 0 where that is smaller. Errors as above.
[[nodiscard]] Result<TileBytes> encode_tile_compactly(const TileLayout& layout, const Tile& tile);

/// Errors (bad_database): an unknown codec, bytes too few or too many.
[[nodiscard]] Result<Tile> decode_tile(int codec, const TileLayout& layout,
                                       std::span<const std::uint8_t> data);

/// Tiles that are a whole number of blocks of 8 × 8 points high and wide can be read block by
/// block: the blocks along a side, otherwise 1.
[[nodiscard]] int readable_blocks_along(int tile_edge);

/// One of the readable_blocks_along² blocks, numbered by rows from the south-west, as a tile of its
/// own. Errors as above, as far as the bytes were looked at.
[[nodiscard]] Result<Tile> decode_block(int codec, const TileLayout& layout,
                                        std::span<const std::uint8_t> data, int block);

}  // namespace thirstline
