// Coded tiles that are truncated or changed decode to an error or to some tile: nothing is read
// outside them, nothing hangs. (Only a tile's checksum shows that the values are the writer's.)
#include <gtest/gtest.h>

#include <algorithm>

#include "schema/tile_code/tile_codec.hpp"
#include "schema/tile_code/tile_decoder.hpp"
#include "tests/support/tile_code_reading.hpp"
#include "tests/support/varied_tiles.hpp"

namespace thirstline {
namespace {

using test::Random;

struct DamageSample {
    TileLayout layout;
    Tile tile;
    std::vector<std::uint8_t> data;
};

constexpr std::size_t kFewBytes = 30;
constexpr std::size_t kManyBytes = 600;

std::vector<DamageSample> samples() {
    std::vector<DamageSample> made;
    const int tiles = test::number_from_environment("THIRSTLINE_DAMAGED_TILES", 30);
    for (int n = 0; n < tiles; ++n) {
        Random random(8'000 + static_cast<std::uint32_t>(n));
        const int edge = static_cast<int>(n % 5 == 0 ? random.between(9, 18) : 2 + n % 7);
        DamageSample sample;
        do {
            sample.layout = test::varied_layout(edge, n % 4 == 0, random);
            sample.tile = test::varied_tile(sample.layout, random);
            sample.data = *encode_tile(kCodecPredictive, sample.layout, sample.tile);
        } while (sample.data.size() < kFewBytes || sample.data.size() > kManyBytes);
        made.push_back(std::move(sample));
    }
    return made;
}

/// Reads through both interfaces; true if the decoder found the bytes sound.
bool decodes(const TileLayout& layout, const std::vector<std::uint8_t>& data) {
    const auto tile = decode_tile(kCodecPredictive, layout, data);
    if (!tile) {
        EXPECT_EQ(tile.error().code, ErrorCode::bad_database);
    }
    const test::Reading reading = test::read_in_c(layout, data);
    EXPECT_EQ(reading.whole, tile.has_value());
    if (tile) {
        for (const Layer& layer : layout.layers)
            EXPECT_EQ(reading.tile.of(layer.id), tile->of(layer.id));
    }
    return tile.has_value();
}

TEST(TileCodeDamage, EveryTruncationIsRejected) {
    std::int64_t cuts = 0, unnoticed = 0;
    for (const DamageSample& sample : samples()) {
        for (std::size_t length = 0; length < sample.data.size(); ++length) {
            const std::vector<std::uint8_t> cut(
                sample.data.begin(), sample.data.begin() + static_cast<std::ptrdiff_t>(length));
            ++cuts;
            unnoticed += decodes(sample.layout, cut) ? 1 : 0;
            if (testing::Test::HasFailure()) FAIL() << length;
        }
    }
    RecordProperty("cuts", std::to_string(cuts));
    RecordProperty("unnoticed", std::to_string(unnoticed));
    EXPECT_LT(unnoticed * 20, cuts);
}

TEST(TileCodeDamage, EveryChangedByteIsRejected) {
    std::int64_t changes = 0, unnoticed = 0;
    for (const DamageSample& sample : samples()) {
        for (std::size_t at = 0; at < sample.data.size(); ++at) {
            for (const int change : {0xFF, 0x01, 0x02, 0x04, 0x08, 0x10, 0x20, 0x40, 0x80}) {
                // Of long tiles each byte is changed once, in turn.
                if (sample.data.size() > 150 && change != (1 << at % 8)) continue;
                std::vector<std::uint8_t> changed = sample.data;
                changed[at] = static_cast<std::uint8_t>(changed[at] ^ change);
                ++changes;
                unnoticed += decodes(sample.layout, changed) ? 1 : 0;
                if (testing::Test::HasFailure()) FAIL() << at << " " << change;
            }
        }
    }
    RecordProperty("changes", std::to_string(changes));
    RecordProperty("unnoticed", std::to_string(unnoticed));
    // The low bits of great residuals stand as they are: a change of one of them is a change of a
    // value, and nothing more.
    EXPECT_LT(unnoticed, changes);
}

TEST(TileCodeDamage, RejectsBytesAfterTheEnd) {
    for (const DamageSample& sample : samples()) {
        for (const std::size_t more : {1, 2, 50, 5'000}) {
            std::vector<std::uint8_t> longer = sample.data;
            longer.resize(sample.data.size() + more, 0x5A);
            ASSERT_FALSE(decodes(sample.layout, longer));
        }
    }
}

TEST(TileCodeDamage, RandomBytesAreRejected) {
    Random random(81);
    for (int n = 0; n < 3'000; ++n) {
        const TileLayout layout =
            test::varied_layout(static_cast<int>(random.between(2, 20)), true, random);
        std::vector<std::uint8_t> bytes(static_cast<std::size_t>(random.between(0, 200)));
        const bool runs = random.chance(30);
        for (std::uint8_t& byte : bytes)
            byte = static_cast<std::uint8_t>(runs && random.chance(80) ? 0xFF
                                                                       : random.between(0, 255));
        (void)decodes(layout, bytes);
        ASSERT_FALSE(testing::Test::HasFailure()) << n;
    }
}

TEST(TileCodeDamage, RejectsALayoutOfOtherLayers) {
    Random random(82);
    for (const DamageSample& sample : samples()) {
        for (int n = 0; n < 20; ++n) {
            const TileLayout other = test::varied_layout(
                static_cast<int>(random.chance(50) ? sample.layout.edge : random.between(2, 64)),
                true, random);
            (void)decodes(other, sample.data);
            ASSERT_FALSE(testing::Test::HasFailure()) << n;
        }
    }
}

}  // namespace
}  // namespace thirstline
