// Converts a tile's integers to bytes and back. One interface for all codecs; the codec's number is
// stored with the bytes in the file.
//
// Codec 0 stores plain fixed-width integers: a bitmap of the points that have data (slot i is bit i
// mod 8 of byte i div 8), then for each layer, by ascending id, all its values in order
// (slot-major, months within), little-endian, in the layer's width. Missing is the most negative
// integer of a signed layer, the largest of an unsigned one.
//
// Codec 1 predicts each value from its neighbours and from other months and writes the residuals:
// TILE_CODE.md. Values in slots without a point are not kept.
//
// Thread safety: pure. decode_tile never reads outside `data`, for any content.
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

/// Codec 1, or codec 0 if that is smaller. Errors as above.
[[nodiscard]] Result<TileBytes> encode_tile_compactly(const TileLayout& layout, const Tile& tile);

/// Errors (bad_database): an unknown codec, too few or too many bytes.
[[nodiscard]] Result<Tile> decode_tile(int codec, const TileLayout& layout,
                                       std::span<const std::uint8_t> data);

/// Number of blocks along a tile's side if it can be read block by block, that is if it is a whole
/// number of blocks of 8 × 8 points high and wide; otherwise 1.
[[nodiscard]] int readable_blocks_along(int tile_edge);

/// One of the readable_blocks_along² blocks, numbered by rows from the south-west, as a separate
/// tile. Errors as above, for the bytes that were read.
[[nodiscard]] Result<Tile> decode_block(int codec, const TileLayout& layout,
                                        std::span<const std::uint8_t> data, int block);

}  // namespace thirstline
