#include "schema/database/checksum.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "schema/base/sha256.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

std::vector<std::uint8_t> bytes_of(std::string_view text) {
    return {text.begin(), text.end()};
}

// The check value of the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC), from memory;
// zlib below says the same.
TEST(Checksum, GivesThePublishedCheckValue) {
    EXPECT_EQ(crc32(bytes_of("123456789")), 0xCBF43926U);
    EXPECT_EQ(crc32({}), 0U);
}

TEST(Checksum, AgreesWithZlib) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    constexpr std::uint32_t kSeed = 41;
    SCOPED_TRACE(kSeed);
    test::Random random(kSeed);
    const test::TemporaryFolder folder;
    std::string bytes;
    for (int i = 0; i < 100'003; ++i) bytes += static_cast<char>(random.between(-128, 127));
    test::write_bytes(folder.path("bytes"), bytes);
    const auto said = test::output_of(THIRSTLINE_TEST_PYTHON
                                      " -c \"import sys, zlib; "
                                      "print(zlib.crc32(open(sys.argv[1], 'rb').read()))\" " +
                                      folder.path("bytes"));
    ASSERT_TRUE(said.has_value());
    EXPECT_EQ(std::to_string(crc32(bytes_of(bytes))) + "\n", *said);
}

TEST(TileCrc32, IsTheCrcOfKeyGapCodecAndData) {
    const auto data = bytes_of("abc");
    std::vector<std::uint8_t> all{0x08, 0x07, 0x06, 0x05, 0x04, 0x03, 0x02, 0x01, 0x44,
                                  0x33, 0x22, 0x11, 0x00, 0x00, 0x00, 0x00, 0x05};
    all.insert(all.end(), data.begin(), data.end());
    EXPECT_EQ(tile_crc32(0x0102030405060708, 0x11223344, 5, data), crc32(all));
    EXPECT_NE(tile_crc32(1, 1, 0, data), tile_crc32(2, 1, 0, data));
    EXPECT_NE(tile_crc32(1, 1, 0, data), tile_crc32(1, 2, 0, data));
    EXPECT_NE(tile_crc32(1, 1, 0, data), tile_crc32(1, 1, 1, data));
}

TEST(PostalCrc32, SeparatesItsFields) {
    std::vector<std::uint8_t> all{'1', 0, 'A', 'B',  0,    'W',  0,   0x01,
                                  0,   0, 0,   0xFE, 0xFF, 0xFF, 0xFF};
    EXPECT_EQ(postal_crc32("1", "AB", "W", {1, -2}), crc32(all));
    EXPECT_NE(postal_crc32("1", "AB", "W", {1, -2}), postal_crc32("1A", "B", "W", {1, -2}));
}

// FIPS 180-4's example "abc" and the digest of nothing, from memory; sha256sum says the same.
TEST(Sha256, GivesThePublishedDigests) {
    Sha256 hash;
    hash.add("abc");
    EXPECT_EQ(hash.hex_digest(),
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(hash.hex_digest(),
              "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

}  // namespace
}  // namespace thirstline
