#include "schema/tile_code/tile_codec.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::layout_of;
using test::Random;

TEST(CodecPlain, WhatWasEncodedIsDecoded) {
    constexpr std::uint32_t kSeed = 51;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    for (int round = 0; round < 300; ++round) {
        std::vector<LayerId> ids{LayerId::eto};
        for (const Layer& layer : all_layers()) {
            if (random.chance(50)) ids.push_back(layer.id);
        }
        const TileLayout layout = layout_of(static_cast<int>(random.between(2, 12)), ids);
        const Tile tile =
            test::random_tile(layout, random, static_cast<int>(random.between(0, 100)));
        const auto data = encode_tile(kCodecPlain, layout, tile);
        ASSERT_TRUE(data.has_value()) << data.error().message;
        const auto back = decode_tile(kCodecPlain, layout, *data);
        ASSERT_TRUE(back.has_value()) << back.error().message;
        ASSERT_EQ(*back, tile);
    }
}

TEST(CodecPlain, PlacesBytesAsDocumented) {
    const TileLayout layout =
        layout_of(3, {LayerId::eto, LayerId::tmax, LayerId::period, LayerId::tmax_gradient});
    Tile tile = Tile::empty(layout);
    tile.present[0] = tile.present[8] = 1;
    tile.of(LayerId::eto)[0] = 0x1234;
    tile.of(LayerId::eto)[8 * 12 + 11] = 65'534;
    tile.of(LayerId::tmax)[1] = -2;
    tile.of(LayerId::period)[8] = 7;
    tile.of(LayerId::tmax_gradient)[11] = -32'767;
    const auto data = encode_tile(kCodecPlain, layout, tile);
    ASSERT_TRUE(data.has_value());
    ASSERT_EQ(data->size(), 2U + 216 + 216 + 9 + 24);
    const auto at = [&data](std::size_t index) { return static_cast<int>((*data)[index]); };
    EXPECT_EQ(at(0), 0x01);
    EXPECT_EQ(at(1), 0x01);
    EXPECT_EQ(at(2), 0x34);
    EXPECT_EQ(at(3), 0x12);
    EXPECT_EQ(at(4), 0xFF);  // missing, unsigned
    EXPECT_EQ(at(5), 0xFF);
    EXPECT_EQ(at(216), 0xFE);
    EXPECT_EQ(at(217), 0xFF);
    EXPECT_EQ(at(218), 0x00);  // missing, signed
    EXPECT_EQ(at(219), 0x80);
    EXPECT_EQ(at(220), 0xFE);
    EXPECT_EQ(at(221), 0xFF);
    EXPECT_EQ(at(434), 0xFF);  // missing, one byte
    EXPECT_EQ(at(442), 7);
    EXPECT_EQ(at(465), 0x01);
    EXPECT_EQ(at(466), 0x80);
}

TEST(CodecPlain, EveryOtherLengthIsRefused) {
    Random random(52);
    const TileLayout layout = layout_of(4);
    const auto data = encode_tile(kCodecPlain, layout, test::random_tile(layout, random, 50));
    ASSERT_TRUE(data.has_value());
    for (std::size_t length = 0; length < data->size(); ++length) {
        // A copy of exactly that size, so that a sanitiser sees any reading past its end.
        const std::vector<std::uint8_t> cut(data->begin(),
                                            data->begin() + static_cast<std::ptrdiff_t>(length));
        const auto decoded = decode_tile(kCodecPlain, layout, cut);
        ASSERT_FALSE(decoded.has_value()) << length;
        ASSERT_EQ(decoded.error().code, ErrorCode::bad_database);
    }
    for (const std::size_t more : {1, 2, 100, 100'000}) {
        std::vector<std::uint8_t> longer = *data;
        longer.resize(data->size() + more);
        EXPECT_FALSE(decode_tile(kCodecPlain, layout, longer).has_value());
    }
    EXPECT_FALSE(decode_tile(kCodecPlain, layout_of(5), *data).has_value());
}

TEST(Codecs, AnUnknownOneIsNamed) {
    Random random(53);
    const TileLayout layout = layout_of(2);
    const Tile tile = test::random_tile(layout, random, 50);
    const auto data = encode_tile(kCodecPlain, layout, tile);
    ASSERT_TRUE(data.has_value());
    for (const int codec : {-1, kNewestCodec + 1, 255}) {
        const auto decoded = decode_tile(codec, layout, *data);
        ASSERT_FALSE(decoded.has_value());
        EXPECT_EQ(decoded.error().code, ErrorCode::bad_database);
        EXPECT_NE(decoded.error().message.find(std::to_string(codec)), std::string::npos);
        const auto encoded = encode_tile(codec, layout, tile);
        ASSERT_FALSE(encoded.has_value());
        EXPECT_EQ(encoded.error().code, ErrorCode::internal);
    }
}

TEST(CodecPlain, SkipsLayersOfANewerMinorVersion) {
    constexpr std::uint32_t kSeed = 54;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    const TileLayout known = layout_of(3, {LayerId::eto, LayerId::tmin_gradient});
    const Tile tile = test::random_tile(known, random, 60);
    const auto data = encode_tile(kCodecPlain, known, tile);
    ASSERT_TRUE(data.has_value());
    for (const LayerShape shape :
         {LayerShape::point_month, LayerShape::point, LayerShape::tile_month}) {
        for (const int width : {1, 2}) {
            TileLayout newer = known;
            newer.layers.push_back({static_cast<LayerId>(200), "new", "", shape, 1, width, false});
            std::vector<std::uint8_t> longer = *data;
            longer.resize(data->size() + values_in_tile(newer.layers.back(), 3) *
                                             static_cast<std::size_t>(width),
                          0xA5);
            const auto back = decode_tile(kCodecPlain, newer, longer);
            ASSERT_TRUE(back.has_value()) << back.error().message;
            EXPECT_EQ(*back, tile);
            EXPECT_FALSE(decode_tile(kCodecPlain, newer, *data).has_value());
        }
    }
}

TEST(CodecPlain, WhatDoesNotFitIsNotEncoded) {
    Random random(55);
    const TileLayout layout = layout_of(2);
    const Tile sound = test::random_tile(layout, random, 100);
    const auto refused = [&layout](const Tile& tile) {
        const auto encoded = encode_tile(kCodecPlain, layout, tile);
        return !encoded && encoded.error().code == ErrorCode::internal;
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
    tile.edge = 3;
    EXPECT_TRUE(refused(tile));
}

}  // namespace
}  // namespace thirstline
