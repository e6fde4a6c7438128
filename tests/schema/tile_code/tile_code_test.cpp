// Codec 1 returns what was encoded, for any tile; in the same bytes each time; never in more bytes
// than codec 0 if the smaller is chosen.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "schema/tile_code/tile_codec.hpp"
#include "schema/tile_code/tile_decoder.hpp"
#include "tests/support/varied_tiles.hpp"

namespace thirstline {
namespace {

using test::Random;

/// How many tiles the property tests draw; more by hand: THIRSTLINE_TILES=3000000.
int tiles_to_draw() {
    return test::number_from_environment("THIRSTLINE_TILES", 3'000);
}

std::vector<std::uint8_t> coded(const TileLayout& layout, const Tile& tile) {
    auto data = encode_tile(kCodecPredictive, layout, tile);
    EXPECT_TRUE(data.has_value()) << data.error().message;
    return data ? *data : std::vector<std::uint8_t>{};
}

Tile decoded(const TileLayout& layout, const std::vector<std::uint8_t>& data) {
    auto tile = decode_tile(kCodecPredictive, layout, data);
    EXPECT_TRUE(tile.has_value()) << tile.error().message;
    return tile ? *tile : Tile::empty(layout);
}

std::size_t plain_size(const TileLayout& layout, const Tile& tile) {
    return encode_tile(kCodecPlain, layout, tile)->size();
}

/// Mostly those that files have, now and then 64.
int any_edge(Random& random) {
    return random.between(1, 400) == 1 ? 64 : static_cast<int>(random.between(2, 20));
}

// What tiles of noise may take beyond codec 0: 2 bits a value (an escape tells its own length), and
// the heads of blocks, planes and layers.
std::size_t bound(const TileLayout& layout, const Tile& tile) {
    const std::size_t plain = plain_size(layout, tile);
    const auto along = static_cast<std::size_t>(blocks_along(layout.edge));
    return plain + plain / 8 + along * along * (60 * layout.layers.size() + 16) + 64;
}

TEST(TileCode, WhatWasEncodedIsDecoded) {
    const int tiles = tiles_to_draw();
    const auto seed =
        static_cast<std::uint32_t>(test::number_from_environment("THIRSTLINE_SEED", 61));
    SCOPED_TRACE(seed);
    Random random(seed);
    std::set<std::size_t> numbers_of_layers;
    std::int64_t coded_bytes = 0, plain_bytes = 0, fell_back = 0;
    for (int n = 0; n < tiles; ++n) {
        const TileLayout layout = test::varied_layout(any_edge(random), random.chance(20), random);
        const Tile tile = test::varied_tile(layout, random);
        const auto data = coded(layout, tile);
        ASSERT_EQ(decoded(layout, data), tile) << "tile " << n << ", edge " << layout.edge;
        ASSERT_LE(data.size(), bound(layout, tile)) << "tile " << n << ", edge " << layout.edge;
        numbers_of_layers.insert(layout.layers.size());
        coded_bytes += static_cast<std::int64_t>(data.size());
        plain_bytes += static_cast<std::int64_t>(plain_size(layout, tile));
        fell_back += data.size() > plain_size(layout, tile) ? 1 : 0;
    }
    RecordProperty("coded_bytes", std::to_string(coded_bytes));
    RecordProperty("plain_bytes", std::to_string(plain_bytes));
    RecordProperty("larger_than_plain", std::to_string(fell_back));
    EXPECT_GT(numbers_of_layers.size(), 10U);
    EXPECT_LT(coded_bytes, plain_bytes);
}

TEST(TileCode, TheSmallerOfTheCodecsIsChosen) {
    Random random(62);
    int plain = 0;
    for (int n = 0; n < 600; ++n) {
        const TileLayout layout = test::varied_layout(any_edge(random), false, random);
        const Tile tile =
            n % 3 == 0 ? test::random_tile(layout, random, 100) : test::varied_tile(layout, random);
        const auto chosen = encode_tile_compactly(layout, tile);
        ASSERT_TRUE(chosen.has_value()) << chosen.error().message;
        ASSERT_EQ(chosen->data.size(),
                  std::min(coded(layout, tile).size(), plain_size(layout, tile)));
        const auto back = decode_tile(chosen->codec, layout, chosen->data);
        ASSERT_TRUE(back.has_value()) << back.error().message;
        ASSERT_EQ(*back, tile);
        plain += chosen->codec == kCodecPlain ? 1 : 0;
    }
    EXPECT_GT(plain, 100);
    EXPECT_LT(plain, 400);
}

TEST(TileCode, EverySubsetOfTheLayersIsKept) {
    Random random(63);
    const TileLayout all = test::layout_of(5);
    for (unsigned subset = 0; subset < 1U << all.layers.size(); subset += 1 + subset % 7) {
        TileLayout layout = all;
        layout.layers.clear();
        for (std::size_t i = 0; i < all.layers.size(); ++i) {
            if ((subset >> i & 1U) != 0) layout.layers.push_back(all.layers[i]);
        }
        const Tile tile = test::varied_tile(layout, random);
        ASSERT_EQ(decoded(layout, coded(layout, tile)), tile) << subset;
    }
}

TEST(TileCode, EveryEdgeIsKept) {
    Random random(64);
    for (int edge = 2; edge <= 64; ++edge) {
        const TileLayout layout = test::varied_layout(edge, false, random);
        for (int n = 0; n < 3; ++n) {
            const Tile tile = test::varied_tile(layout, random);
            ASSERT_EQ(decoded(layout, coded(layout, tile)), tile) << edge;
        }
    }
}

TEST(TileCode, ExtremesOfEveryKindOfLayerAreKept) {
    for (const LayerShape shape :
         {LayerShape::point_month, LayerShape::point, LayerShape::tile_month}) {
        for (const bool is_signed : {false, true}) {
            for (const int width : {1, 2}) {
                for (const int edge : {2, 7, 8, 9, 16}) {
                    TileLayout layout{
                        edge, {{LayerId::eto, "eto", "mm/day", shape, 100, width, is_signed}}};
                    const Layer& layer = layout.layers.front();
                    Tile tile = Tile::empty(layout);
                    std::fill(tile.present.begin(), tile.present.end(), std::uint8_t{1});
                    auto& values = tile.of(LayerId::eto);
                    for (const int period : {1, 2, 3, 12, 13, 24}) {
                        for (std::size_t i = 0; i < values.size(); ++i) {
                            values[i] = static_cast<int>(i) / period % 2 == 0
                                            ? least_value(layer)
                                            : greatest_value(layer);
                        }
                        ASSERT_EQ(decoded(layout, coded(layout, tile)), tile)
                            << edge << " " << width << " " << is_signed << " " << period;
                    }
                }
            }
        }
    }
}

TEST(TileCode, TheSameTileGivesTheSameBytes) {
    for (int n = 0; n < 100; ++n) {
        Random random(6'500 + static_cast<std::uint32_t>(n));
        const TileLayout layout = test::varied_layout(any_edge(random), false, random);
        Tile tile = test::varied_tile(layout, random);
        const auto data = coded(layout, tile);
        ASSERT_EQ(coded(layout, tile), data);
        // What stands in slots without a point does not matter.
        for (const Layer& layer : layout.layers) {
            if (layer.shape == LayerShape::tile_month) continue;
            auto& values = tile.of(layer.id);
            const std::size_t each = values.size() / tile.present.size();
            for (std::size_t i = 0; i < values.size(); ++i) {
                if (tile.present[i / each] == 0) values[i] = greatest_value(layer);
            }
        }
        ASSERT_EQ(coded(layout, tile), data);
    }
}

TEST(TileCode, SkipsLayersOfANewerMinorVersion) {
    Random random(66);
    for (int n = 0; n < 300; ++n) {
        const TileLayout layout = test::varied_layout(any_edge(random), true, random);
        const Tile tile = test::varied_tile(layout, random);
        const auto data = coded(layout, tile);
        TileLayout newer = layout;
        Tile expected = tile;
        for (std::size_t i = 0; i < layout.layers.size(); ++i) {
            if (random.chance(60)) continue;
            newer.layers[i].id = static_cast<LayerId>(200 + i);
            expected.of(layout.layers[i].id).clear();
        }
        ASSERT_EQ(decoded(newer, data), expected) << n;
    }
}

/// One block of a tile, by its slots.
Tile block_taken_out(const TileLayout& layout, const Tile& tile, int block) {
    const int along = readable_blocks_along(layout.edge);
    TileLayout of_block = layout;
    of_block.edge = layout.edge / along;
    Tile taken = Tile::empty(of_block);
    for (int slot = 0; slot < of_block.slots(); ++slot) {
        const int row = block / along * of_block.edge + slot / of_block.edge;
        const int column = block % along * of_block.edge + slot % of_block.edge;
        const auto from = static_cast<std::size_t>(row * layout.edge + column);
        const auto to = static_cast<std::size_t>(slot);
        taken.present[to] = tile.present[from];
        for (const Layer& layer : layout.layers) {
            if (layer.shape == LayerShape::tile_month) continue;
            const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
            for (std::size_t i = 0; i < each; ++i)
                taken.of(layer.id)[to * each + i] = tile.of(layer.id)[from * each + i];
        }
    }
    const bool has_points = std::ranges::count(taken.present, 1) > 0;
    for (const Layer& layer : layout.layers) {
        if (layer.shape == LayerShape::tile_month && has_points)
            taken.of(layer.id) = tile.of(layer.id);
    }
    return taken;
}

// A caller that needs one block reads that alone, with all layers or the first of them.
TEST(TileCodec, ABlockAloneIsAsInTheTile) {
    Random random(67);
    for (int n = 0; n < 300; ++n) {
        const int edge = n % 3 == 0 ? 8 * static_cast<int>(random.between(1, 4)) : any_edge(random);
        const TileLayout layout = test::varied_layout(edge, false, random);
        const Tile tile = test::varied_tile(layout, random);
        const int along = readable_blocks_along(edge);
        ASSERT_TRUE(edge % 8 == 0 ? along == edge / 8 : edge % along == 0) << edge;
        for (const int codec : {kCodecPlain, kCodecPredictive}) {
            const auto data = *encode_tile(codec, layout, tile);
            for (int block = 0; block < along * along; ++block) {
                const Tile expected = block_taken_out(layout, tile, block);
                const auto read = decode_block(codec, layout, data, block);
                ASSERT_TRUE(read.has_value()) << read.error().message;
                if (std::ranges::count(expected.present, 1) == 0) {
                    ASSERT_EQ(std::ranges::count(read->present, 1), 0);
                    continue;
                }
                ASSERT_EQ(*read, expected) << n << " codec " << codec << " block " << block;
            }
        }
    }
}

TEST(TileCode, WhatDoesNotFitIsNotEncoded) {
    Random random(68);
    for (const int edge : {2, 8, 11}) {
        const TileLayout layout = test::layout_of(edge);
        const Tile sound = test::random_tile(layout, random, 100);
        const auto refused = [&layout](const Tile& tile) {
            const auto encoded = encode_tile(kCodecPredictive, layout, tile);
            const auto compactly = encode_tile_compactly(layout, tile);
            return !encoded && encoded.error().code == ErrorCode::internal && !compactly;
        };
        EXPECT_FALSE(refused(sound));
        for (const Layer& layer : layout.layers) {
            Tile tile = sound;
            tile.of(layer.id)[0] = greatest_value(layer) + 1;
            EXPECT_TRUE(refused(tile)) << layer.name;
            tile.of(layer.id)[0] = least_value(layer) - 1;
            EXPECT_TRUE(refused(tile)) << layer.name;
            tile = sound;
            tile.of(layer.id).pop_back();
            EXPECT_TRUE(refused(tile)) << layer.name;
        }
        Tile tile = sound;
        tile.present.push_back(1);
        EXPECT_TRUE(refused(tile));
        tile = sound;
        tile.edge = edge + 1;
        EXPECT_TRUE(refused(tile));
    }
}

}  // namespace
}  // namespace thirstline
