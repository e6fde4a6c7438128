#include "schema/tile_code/tile_codec.hpp"

#include <algorithm>
#include <string>

#include "schema/tile_code/tile_decoder.hpp"
#include "schema/tile_code/tile_encoder.hpp"

namespace thirstline {

namespace {

std::size_t bitmap_bytes(const TileLayout& layout) {
    return (static_cast<std::size_t>(layout.slots()) + 7) / 8;
}

std::size_t plain_bytes(const TileLayout& layout) {
    std::size_t bytes = bitmap_bytes(layout);
    for (const Layer& layer : layout.layers)
        bytes += values_in_tile(layer, layout.edge) * static_cast<std::size_t>(layer.width_bytes);
    return bytes;
}

/// The integer that means "missing" in a file.
std::int32_t stored_missing(const Layer& layer) {
    return layer.is_signed ? least_value(layer) - 1 : greatest_value(layer) + 1;
}

Result<void> check_ranges(const TileLayout& layout, const Tile& tile) {
    for (const Layer& layer : layout.layers) {
        const std::int32_t least = least_value(layer), greatest = greatest_value(layer);
        const auto is_outside = [least, greatest](std::int32_t value) {
            return value != kMissingValue && (value < least || value > greatest);
        };
        // There is almost never one: a loop without a branch checks this fastest.
        bool any_outside = false;
        for (const std::int32_t value : tile.of(layer.id)) any_outside |= is_outside(value);
        if (!any_outside) continue;
        for (const std::int32_t value : tile.of(layer.id)) {
            if (is_outside(value)) {
                return fail(ErrorCode::internal,
                            "a value of layer " + std::string(layer.name) +
                                " is outside its range: " + std::to_string(value));
            }
        }
    }
    return {};
}

std::vector<std::uint8_t> encode_plain(const TileLayout& layout, const Tile& tile) {
    std::vector<std::uint8_t> data(bitmap_bytes(layout), 0);
    data.reserve(plain_bytes(layout));
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot)
        if (tile.present[slot] != 0) data[slot / 8] |= static_cast<std::uint8_t>(1U << (slot % 8));
    for (const Layer& layer : layout.layers) {
        for (const std::int32_t value : tile.of(layer.id)) {
            const bool missing = value == kMissingValue;
            const auto bits = static_cast<std::uint32_t>(missing ? stored_missing(layer) : value);
            for (int byte = 0; byte < layer.width_bytes; ++byte)
                data.push_back(static_cast<std::uint8_t>(bits >> (8 * byte)));
        }
    }
    return data;
}

/// Values of `kBytes` bytes each, from `bytes` on.
template <int kBytes, bool kIsSigned>
void take_plain_values(const std::uint8_t* bytes, std::int32_t missing,
                       std::span<std::int32_t> values) {
    for (std::int32_t& value : values) {
        std::uint32_t bits = bytes[0];
        if constexpr (kBytes == 2) bits |= static_cast<std::uint32_t>(bytes[1]) << 8;
        bytes += kBytes;
        constexpr std::int32_t kSign = 1 << (8 * kBytes - 1);
        auto read = static_cast<std::int32_t>(bits);
        if constexpr (kIsSigned) read = (read ^ kSign) - kSign;
        value = read == missing ? kMissingValue : read;
    }
}

void take_plain_layer(const Layer& layer, const std::uint8_t* bytes,
                      std::span<std::int32_t> values) {
    // A loop for each kind, so that each is vectorised.
    const std::int32_t missing = stored_missing(layer);
    if (layer.width_bytes == 1)
        layer.is_signed ? take_plain_values<1, true>(bytes, missing, values)
                        : take_plain_values<1, false>(bytes, missing, values);
    else
        layer.is_signed ? take_plain_values<2, true>(bytes, missing, values)
                        : take_plain_values<2, false>(bytes, missing, values);
}

Result<void> check_plain_bytes(const TileLayout& layout, std::span<const std::uint8_t> data) {
    if (data.size() == plain_bytes(layout)) return {};
    return fail(ErrorCode::bad_database, "it has " + std::to_string(data.size()) +
                                             " bytes where its layers need " +
                                             std::to_string(plain_bytes(layout)));
}

Result<Tile> decode_plain(const TileLayout& layout, std::span<const std::uint8_t> data) {
    TRY(check_plain_bytes(layout, data));
    Tile tile = Tile::empty(layout);
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot)
        tile.present[slot] = (data[slot / 8] >> (slot % 8)) & 1U;
    const std::uint8_t* next = data.data() + bitmap_bytes(layout);
    for (const Layer& layer : layout.layers) {
        // A layer of a newer minor version is skipped.
        if (is_known(layer.id)) take_plain_layer(layer, next, tile.of(layer.id));
        next += values_in_tile(layer, layout.edge) * static_cast<std::size_t>(layer.width_bytes);
    }
    return tile;
}

/// A square of a tile, `edge` points along its side, as a separate tile.
Tile square_of(const Tile& tile, const TileLayout& layout, int edge, int square_row,
               int square_column) {
    TileLayout of_square = layout;
    of_square.edge = edge;
    Tile square = Tile::empty(of_square);
    for (int slot = 0; slot < edge * edge; ++slot) {
        const auto to = static_cast<std::size_t>(slot);
        const auto from = static_cast<std::size_t>((square_row * edge + slot / edge) * tile.edge +
                                                   square_column * edge + slot % edge);
        square.present[to] = tile.present[from];
        for (const Layer& layer : layout.layers) {
            if (layer.shape == LayerShape::tile_month || !is_known(layer.id)) continue;
            const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
            const auto first = tile.of(layer.id).begin() + static_cast<std::ptrdiff_t>(from * each);
            std::copy_n(first, each,
                        square.of(layer.id).begin() + static_cast<std::ptrdiff_t>(to * each));
        }
    }
    for (const Layer& layer : layout.layers) {
        if (layer.shape == LayerShape::tile_month && is_known(layer.id))
            square.of(layer.id) = tile.of(layer.id);
    }
    return square;
}

bool fits(const TileLayout& layout, const Tile& tile) {
    if (tile.edge != layout.edge || tile.present.size() != static_cast<std::size_t>(layout.slots()))
        return false;
    for (const Layer& layer : layout.layers) {
        if (!is_known(layer.id)) return false;
        if (tile.of(layer.id).size() != values_in_tile(layer, layout.edge)) return false;
    }
    return true;
}

tl::unexpected<Error> unknown_codec(int codec) {
    return fail(ErrorCode::bad_database, "it is written with codec " + std::to_string(codec) +
                                             ", and this version reads codecs up to " +
                                             std::to_string(kNewestCodec));
}

}  // namespace

Result<std::vector<std::uint8_t>> encode_tile(int codec, const TileLayout& layout,
                                              const Tile& tile) {
    if (!fits(layout, tile)) return fail(ErrorCode::internal, "a tile does not fit its layout");
    TRY(check_ranges(layout, tile));
    if (codec == kCodecPlain) return encode_plain(layout, tile);
    if (codec == kCodecPredictive) return predictively_coded(layout, tile);
    return fail(ErrorCode::internal, "there is no codec " + std::to_string(codec));
}

Result<TileBytes> encode_tile_compactly(const TileLayout& layout, const Tile& tile) {
    auto compact = TRY(encode_tile(kCodecPredictive, layout, tile));
    if (compact.size() <= plain_bytes(layout)) return TileBytes{kCodecPredictive, compact};
    return TileBytes{kCodecPlain, encode_plain(layout, tile)};
}

Result<Tile> decode_tile(int codec, const TileLayout& layout, std::span<const std::uint8_t> data) {
    if (codec == kCodecPlain) return decode_plain(layout, data);
    if (codec == kCodecPredictive) return predictively_decoded(layout, data);
    return unknown_codec(codec);
}

int readable_blocks_along(int tile_edge) {
    const int along = blocks_along(tile_edge);
    return along * block_edge(tile_edge) == tile_edge ? along : 1;
}

Result<Tile> decode_block(int codec, const TileLayout& layout, std::span<const std::uint8_t> data,
                          int block) {
    const int along = readable_blocks_along(layout.edge);
    if (codec == kCodecPredictive) {
        return along == 1 ? predictively_decoded(layout, data)
                          : predictively_decoded_block(layout, data, block);
    }
    if (codec != kCodecPlain) return unknown_codec(codec);
    auto tile = decode_plain(layout, data);
    if (!tile || along == 1) return tile;
    return square_of(*tile, layout, layout.edge / along, block / along, block % along);
}

}  // namespace thirstline
