// schema/tile_code/tile_code.h as used in firmware: compiled as C99, from memory and in small
// pieces, with and without the tables for speed, and stopping as soon as it has the required
// planes.
#include <gtest/gtest.h>

#include <algorithm>

#include "schema/tile_code/bit_writer.hpp"
#include "schema/tile_code/residual_coder.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/tile_code_reading.hpp"
#include "tests/support/varied_tiles.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::read_in_c;
using test::Reading;
using test::ReadingOptions;

struct Sample {
    TileLayout layout;
    Tile tile;
    std::vector<std::uint8_t> data;
};

/// A tile whose points all have a value in some layer: those are all that a reading shows.
Sample sample(Random& random) {
    Sample made;
    made.layout = test::varied_layout(static_cast<int>(random.between(2, 20)), false, random);
    made.tile = test::varied_tile(made.layout, random);
    for (std::size_t slot = 0; slot < made.tile.present.size(); ++slot) {
        if (made.tile.present[slot] == 0) continue;
        std::int32_t& january = made.tile.of(LayerId::eto)[slot * kMonths];
        if (january == kMissingValue) january = 0;
    }
    made.data = *encode_tile(kCodecPredictive, made.layout, made.tile);
    return made;
}

TEST(TileCodeReader, EveryWayOfReadingGivesTheSameValues) {
    Random random(71);
    const int tiles = test::number_from_environment("THIRSTLINE_TILES", 1'500);
    for (int n = 0; n < tiles; ++n) {
        const Sample drawn = sample(random);
        for (const bool with_quick_tables : {false, true}) {
            ReadingOptions options;
            options.with_quick_tables = with_quick_tables;
            options.after_the_last = n % 2 == 0 ? 0xFF : 0x00;
            const Reading reading = read_in_c(drawn.layout, drawn.data, options);
            ASSERT_TRUE(reading.whole) << n;
            ASSERT_EQ(reading.tile, drawn.tile) << n;
        }
    }
}

// A caller that needs only the means stops after their layers, and after the row that they need.
TEST(TileCodeReader, StoppingEarlyGivesTheSameValues) {
    Random random(72);
    for (int n = 0; n < 300; ++n) {
        const Sample drawn = sample(random);
        const int along = static_cast<int>(
            thirstline_blocks_along(static_cast<std::uint32_t>(drawn.layout.edge)));
        const int edge =
            static_cast<int>(thirstline_block_edge(static_cast<std::uint32_t>(drawn.layout.edge)));
        ASSERT_GT(along, 0);
        ReadingOptions options;
        options.layers = static_cast<std::size_t>(
            random.between(1, static_cast<std::int64_t>(drawn.layout.layers.size())));
        options.last_slot = static_cast<std::uint32_t>(random.between(0, 63));
        const Reading reading = read_in_c(drawn.layout, drawn.data, options);
        const int last_row = static_cast<int>(options.last_slot) / 8;
        for (std::size_t i = 0; i < options.layers; ++i) {
            const Layer& layer = drawn.layout.layers[i];
            const auto& expected = drawn.tile.of(layer.id);
            const auto& read = reading.tile.of(layer.id);
            const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
            for (std::size_t at = 0; at < expected.size(); ++at) {
                const int row = static_cast<int>(at / each) / drawn.layout.edge;
                if (layer.shape != LayerShape::tile_month && row % edge > last_row) continue;
                ASSERT_EQ(read[at], expected[at]) << n << " " << layer.name << " " << at;
            }
        }
    }
}

TEST(TileCodeReader, UsesLittleMemory) {
    EXPECT_LT(bytes_of_state_in_c(), 1'350U);
}

TEST(TileCodeReader, TablesAreWhole) {
    for (int table = 0; table < THIRSTLINE_TABLES; ++table) {
        const std::uint16_t* below = thirstline_below[table];
        EXPECT_EQ(below[0], 0);
        EXPECT_EQ(below[THIRSTLINE_SYMBOLS], 4096);
        for (int symbol = 0; symbol < THIRSTLINE_SYMBOLS; ++symbol)
            EXPECT_LT(below[symbol], below[symbol + 1]) << table << " " << symbol;
        for (int part = 0; part < 16; ++part) {
            const int hint = thirstline_hint[table][part];
            EXPECT_LE(below[hint], 256 * part);
            EXPECT_GT(below[hint + 1], 256 * part);
        }
    }
}

TEST(TileCodeReader, ReadsGolombCodesOfEveryParameter) {
    Random random(74);
    for (int parameter = 0; parameter <= 15; ++parameter) {
        BitWriter writer;
        std::vector<std::uint32_t> numbers;
        std::uint64_t bits = 0;
        for (int n = 0; n < 2'000; ++n) {
            const auto bound = std::int64_t{1} << random.between(0, 17);
            numbers.push_back(static_cast<std::uint32_t>(random.between(0, bound - 1)));
            writer.add_golomb(numbers.back(), parameter);
            bits += golomb_bits(numbers.back(), parameter);
        }
        std::vector<std::uint8_t> bytes = writer.bytes();
        EXPECT_EQ(bytes.size(), (bits + 7) / 8);
        thirstline_tile_bytes source{};
        source.size = static_cast<std::uint32_t>(bytes.size());
        source.memory = bytes.data();
        thirstline_bit_reader reader{};
        thirstline_read_from(&reader.bytes, &source, 0, source.size);
        for (const std::uint32_t number : numbers) {
            ASSERT_EQ(thirstline_golomb(&reader, static_cast<std::uint32_t>(parameter)), number);
        }
        EXPECT_FALSE(thirstline_bits_ran_out(&reader));
    }
}

TEST(TileCodeReader, ReadsResidualsOfEveryClassAndSize) {
    Random random(75);
    for (std::uint32_t residual_class = 1; residual_class <= THIRSTLINE_GREATEST_CLASS;
         ++residual_class) {
        ResidualCoder coder;
        std::vector<std::uint16_t> residuals{0, 1, 14, 15, 16, 270, 271, 65'534, 65'535};
        for (int n = 0; n < 3'000; ++n) {
            const auto bound = std::int64_t{1} << random.between(0, 16);
            residuals.push_back(static_cast<std::uint16_t>(random.between(0, bound - 1)));
        }
        for (const std::uint16_t folded : residuals)
            coder.add(residual_class, std::span(&folded, 1));
        ResidualStream stream = coder.stream();
        const std::size_t size = stream.bytes.size();
        stream.bytes.resize(size + THIRSTLINE_READ_AHEAD);
        const thirstline_spread spread = thirstline_spread_of(residual_class, nullptr);
        const std::uint8_t* next = stream.bytes.data();
        for (std::size_t n = 0; n < residuals.size(); ++n) {
            const std::uint8_t* before = next;
            const std::uint32_t read =
                thirstline_residual(&spread, &stream.states[n % 2], &next) & 0xFFFF;
            ASSERT_EQ(read, thirstline_signed(residuals[n]) & 0xFFFF) << residual_class;
            ASSERT_LE(next - before, THIRSTLINE_LONGEST_SYMBOL);
        }
        EXPECT_EQ(next, stream.bytes.data() + size);
        for (const std::uint32_t state : stream.states) EXPECT_EQ(state, THIRSTLINE_LEAST_STATE);
    }
}

}  // namespace
}  // namespace thirstline
