#include "schema/checksum.hpp"

#include <array>

namespace thirstline {

namespace {

constexpr std::array<std::uint32_t, 256> crc_table() {
    std::array<std::uint32_t, 256> table{};
    for (std::uint32_t byte = 0; byte < 256; ++byte) {
        std::uint32_t remainder = byte;
        for (int bit = 0; bit < 8; ++bit) {
            remainder = (remainder >> 1) ^ ((remainder & 1U) != 0 ? 0xEDB88320U : 0U);
        }
        table[byte] = remainder;
    }
    return table;
}

constexpr std::array<std::uint32_t, 256> kCrcTable = crc_table();

constexpr std::uint32_t fed(std::uint32_t state, std::uint8_t byte) {
    return (state >> 8) ^ kCrcTable[(state ^ byte) & 0xFFU];
}

}  // namespace

std::uint32_t crc32(std::span<const std::uint8_t> bytes) {
    std::uint32_t state = 0xFFFFFFFFU;
    for (const std::uint8_t byte : bytes) state = fed(state, byte);
    return state ^ 0xFFFFFFFFU;
}

std::uint32_t tile_crc32(std::int64_t tile_key, int codec, std::span<const std::uint8_t> data) {
    std::uint32_t state = 0xFFFFFFFFU;
    const auto key = static_cast<std::uint64_t>(tile_key);
    for (int byte = 0; byte < 8; ++byte) {
        state = fed(state, static_cast<std::uint8_t>(key >> (8 * byte)));
    }
    state = fed(state, static_cast<std::uint8_t>(codec));
    for (const std::uint8_t byte : data) state = fed(state, byte);
    return state ^ 0xFFFFFFFFU;
}

}  // namespace thirstline
