#include "schema/tile_code/tile_decoder.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "schema/tile_code/tile_code.h"

namespace thirstline {

namespace {

/// Where a block's slots are in a tile in memory.
struct Placement {
    int edge = 0;  ///< of the tile in memory
    int first_row = 0, first_column = 0;

    [[nodiscard]] std::size_t at(std::uint32_t row, std::uint32_t column) const {
        return static_cast<std::size_t>((first_row + static_cast<int>(row)) * edge + first_column +
                                        static_cast<int>(column));
    }
};

std::int32_t value_of(const Layer& layer, std::uint32_t stored) {
    return static_cast<std::int32_t>(stored) - (layer.is_signed ? 0x8000 : 0);
}

/// Puts one plane into every `kValuesOfSlot`-th value from `first`.
template <std::size_t kValuesOfSlot>
void place_plane(const thirstline_block& block, const std::uint16_t* plane, const Layer& layer,
                 const Placement& placement, std::size_t first, std::int32_t* values) {
    constexpr unsigned kWholeRow = 0xFF;
    const std::int32_t bias = layer.is_signed ? 0x8000 : 0;
    const std::uint32_t width = block.width;
    const std::uint32_t height = block.height;
    for (std::uint32_t row = 0; row < height; ++row, plane += THIRSTLINE_BLOCK_EDGE) {
        std::int32_t* into = values + placement.at(row, 0) * kValuesOfSlot + first;
        const unsigned has_value = block.has_value[row];
        if (has_value == kWholeRow) {
            for (std::size_t column = 0; column < THIRSTLINE_BLOCK_EDGE; ++column)
                into[column * kValuesOfSlot] = static_cast<std::int32_t>(plane[column]) - bias;
            continue;
        }
        for (std::uint32_t column = 0; column < width; ++column) {
            if ((has_value >> column & 1U) != 0)
                into[column * kValuesOfSlot] = static_cast<std::int32_t>(plane[column]) - bias;
        }
    }
}

void decode_layer(thirstline_block& block, const Layer& layer, const Placement& placement,
                  std::vector<std::int32_t>* values) {
    constexpr std::uint32_t kLastSlot = THIRSTLINE_BLOCK_SLOTS - 1;
    if (layer.shape == LayerShape::tile_month) {
        thirstline_layer_begin(&block, THIRSTLINE_SHAPE_TILE_MONTH, layer.is_signed ? 1 : 0);
        std::array<std::uint16_t, kMonths> months{};
        const std::uint32_t missing = thirstline_layer_tile_months(&block, months.data());
        if (values == nullptr) return;
        for (std::size_t month = 0; month < kMonths; ++month) {
            (*values)[month] =
                (missing >> month & 1U) != 0 ? kMissingValue : value_of(layer, months[month]);
        }
        return;
    }
    const bool monthly = layer.shape == LayerShape::point_month;
    thirstline_layer_begin(&block, monthly ? THIRSTLINE_SHAPE_POINT_MONTH : THIRSTLINE_SHAPE_POINT,
                           layer.is_signed ? 1 : 0);
    const std::uint32_t steps = monthly ? kMonths : 1;
    for (std::uint32_t step = 0; step < steps; ++step) {
        const std::uint16_t* plane = thirstline_layer_plane(&block, step, kLastSlot);
        if (values == nullptr) continue;  // of a newer minor version: skipped
        if (monthly)
            place_plane<kMonths>(block, plane, layer, placement, thirstline_month_of_step(step),
                                 values->data());
        else
            place_plane<1>(block, plane, layer, placement, 0, values->data());
    }
}

const thirstline_quick_table* quick_tables() {
    static const auto kTables = [] {
        std::array<thirstline_quick_table, THIRSTLINE_TABLES> made{};
        thirstline_fill_quick_tables(made.data());
        return made;
    }();
    return kTables.data();
}

/// A tile's bytes followed by as many zeros as tile_code.h may read ahead.
class PaddedBytes {
  public:
    explicit PaddedBytes(std::span<const std::uint8_t> data) {
        const std::size_t needed = data.size() + THIRSTLINE_READ_AHEAD;
        if (needed > few_.size()) many_.resize(needed);
        std::uint8_t* bytes = needed > few_.size() ? many_.data() : few_.data();
        std::copy(data.begin(), data.end(), bytes);
        std::fill_n(bytes + data.size(), THIRSTLINE_READ_AHEAD, std::uint8_t{0});
        bytes_.memory = bytes;
        bytes_.size = static_cast<std::uint32_t>(data.size());
    }
    PaddedBytes(const PaddedBytes&) = delete;
    PaddedBytes& operator=(const PaddedBytes&) = delete;
    [[nodiscard]] const thirstline_tile_bytes& bytes() const { return bytes_; }

  private:
    thirstline_tile_bytes bytes_{};
    std::array<std::uint8_t, 4096> few_;
    std::vector<std::uint8_t> many_;
};

tl::unexpected<Error> undecodable() {
    return fail(ErrorCode::bad_database, "its bytes do not decode to what its layers need");
}

/// Decodes one block into its place in `tile`.
Result<void> decode_block(const TileLayout& layout, const thirstline_tile_bytes& bytes, int which,
                          const Placement& placement, Tile& tile) {
    thirstline_block block;
    thirstline_block_begin(&block, &bytes, static_cast<std::uint32_t>(layout.edge),
                           static_cast<std::uint32_t>(which), quick_tables());
    for (std::uint32_t row = 0; row < block.height; ++row) {
        for (std::uint32_t column = 0; column < block.width; ++column) {
            tile.present[placement.at(row, column)] =
                static_cast<std::uint8_t>(block.present[row] >> column & 1);
        }
    }
    if (block.points == 0) {
        if (block.damaged != 0) return undecodable();
        return {};
    }
    for (const Layer& layer : layout.layers)
        decode_layer(block, layer, placement, is_known(layer.id) ? &tile.of(layer.id) : nullptr);
    if (thirstline_block_is_whole(&block) == 0) return undecodable();
    return {};
}

}  // namespace

int block_edge(int tile_edge) {
    return static_cast<int>(thirstline_block_edge(static_cast<std::uint32_t>(tile_edge)));
}

int blocks_along(int tile_edge) {
    return static_cast<int>(thirstline_blocks_along(static_cast<std::uint32_t>(tile_edge)));
}

Result<Tile> predictively_decoded(const TileLayout& layout, std::span<const std::uint8_t> data) {
    Tile tile = Tile::empty(layout);
    const PaddedBytes bytes(data);
    const int along = blocks_along(layout.edge);
    const int edge = block_edge(layout.edge);
    for (int which = 0; which < along * along; ++which) {
        const Placement placement{layout.edge, which / along * edge, which % along * edge};
        TRY(decode_block(layout, bytes.bytes(), which, placement, tile));
    }
    return tile;
}

Result<Tile> predictively_decoded_block(const TileLayout& layout,
                                        std::span<const std::uint8_t> data, int block) {
    TileLayout of_block = layout;
    of_block.edge = block_edge(layout.edge);
    Tile tile = Tile::empty(of_block);
    const PaddedBytes bytes(data);
    TRY(decode_block(layout, bytes.bytes(), block, {of_block.edge, 0, 0}, tile));
    return tile;
}

}  // namespace thirstline
