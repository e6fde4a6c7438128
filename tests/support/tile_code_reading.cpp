#include "tests/support/tile_code_reading.hpp"

#include <algorithm>
#include <array>

#include "schema/tile_code/tile_decoder.hpp"

namespace thirstline::test {

namespace {

struct Placing {
    const TileLayout& layout;
    Reading& reading;
    int first_row = 0, first_column = 0;

    [[nodiscard]] std::size_t at(std::uint32_t row, std::uint32_t column) const {
        return static_cast<std::size_t>((first_row + static_cast<int>(row)) * layout.edge +
                                        first_column + static_cast<int>(column));
    }
    static std::int32_t value_of(const Layer& layer, std::uint16_t stored) {
        return static_cast<std::int32_t>(stored) - (layer.is_signed ? 32'768 : 0);
    }
    static void plane(void* context, std::uint32_t number, std::uint32_t month,
                      const thirstline_block* block, const std::uint16_t* values) {
        const auto& self = *static_cast<Placing*>(context);
        const Layer& layer = self.layout.layers[number];
        const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
        for (std::uint32_t row = 0; row < block->height; ++row) {
            for (std::uint32_t column = 0; column < block->width; ++column) {
                if ((block->has_value[row] >> column & 1) == 0) continue;
                self.reading.tile.of(layer.id)[self.at(row, column) * months + month] =
                    value_of(layer, values[row * THIRSTLINE_BLOCK_EDGE + column]);
                self.reading.tile.present[self.at(row, column)] = 1;
            }
        }
    }
    static void tile_months(void* context, std::uint32_t number, std::uint32_t missing,
                            const std::uint16_t* months) {
        const auto& self = *static_cast<Placing*>(context);
        const Layer& layer = self.layout.layers[number];
        for (std::size_t month = 0; month < kMonths; ++month) {
            self.reading.tile.of(layer.id)[month] =
                (missing >> month & 1) != 0 ? kMissingValue : value_of(layer, months[month]);
        }
    }
};

const thirstline_quick_table* quick_tables() {
    static const auto made = [] {
        std::array<thirstline_quick_table, THIRSTLINE_TABLES> tables{};
        thirstline_fill_quick_tables(tables.data());
        return tables;
    }();
    return made.data();
}

}  // namespace

Reading read_in_c(const TileLayout& layout, const std::vector<std::uint8_t>& data,
                  const ReadingOptions& options) {
    Reading reading{Tile::empty(layout)};
    // On the heap, with exactly the size that the reader may access.
    const auto exact = std::make_unique<std::uint8_t[]>(data.size() + THIRSTLINE_READ_AHEAD);
    std::copy(data.begin(), data.end(), exact.get());
    std::fill_n(exact.get() + data.size(), THIRSTLINE_READ_AHEAD, options.after_the_last);
    const thirstline_tile_bytes bytes{exact.get(), static_cast<std::uint32_t>(data.size())};

    std::vector<layer_in_c> layers;
    for (const Layer& layer : layout.layers) {
        if (layers.size() == options.layers) break;
        layers.push_back({static_cast<thirstline_shape>(layer.shape), layer.is_signed ? 1 : 0});
    }
    const int along = blocks_along(layout.edge), edge = block_edge(layout.edge);
    for (int which = 0; which < along * along; ++which) {
        Placing placing{layout, reading, which / along * edge, which % along * edge};
        const listener_in_c listener{Placing::plane, Placing::tile_months, &placing};
        const int whole = read_block_in_c(
            &bytes, static_cast<std::uint32_t>(layout.edge), static_cast<std::uint32_t>(which),
            options.with_quick_tables ? quick_tables() : nullptr, layers.data(),
            static_cast<std::uint32_t>(layers.size()), options.last_slot, &listener);
        reading.whole = reading.whole && whole != 0;
    }
    return reading;
}

}  // namespace thirstline::test
