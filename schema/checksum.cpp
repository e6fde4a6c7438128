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

}  // namespace

void Crc32::add(std::uint8_t byte) {
    state_ = (state_ >> 8) ^ kCrcTable[(state_ ^ byte) & 0xFFU];
}

void Crc32::add(std::span<const std::uint8_t> bytes) {
    for (const std::uint8_t byte : bytes) add(byte);
}

void Crc32::add(std::string_view text) {
    for (const char character : text) add(static_cast<std::uint8_t>(character));
}

void Crc32::add_little_endian(std::uint64_t value, int bytes) {
    for (int byte = 0; byte < bytes; ++byte) add(static_cast<std::uint8_t>(value >> (8 * byte)));
}

std::uint32_t crc32(std::span<const std::uint8_t> bytes) {
    Crc32 crc;
    crc.add(bytes);
    return crc.value();
}

std::uint32_t tile_crc32(std::int64_t tile_key, std::int64_t gap, int codec,
                         std::span<const std::uint8_t> data) {
    Crc32 crc;
    crc.add_little_endian(static_cast<std::uint64_t>(tile_key), 8);
    crc.add_little_endian(static_cast<std::uint64_t>(gap), 8);
    crc.add(static_cast<std::uint8_t>(codec));
    crc.add(data);
    return crc.value();
}

std::uint32_t postal_crc32(std::string_view code, std::string_view country, std::string_view place,
                           LatLonE7 position) {
    Crc32 crc;
    for (const std::string_view text : {code, country, place}) {
        crc.add(text);
        crc.add(std::uint8_t{0});
    }
    crc.add_little_endian(static_cast<std::uint32_t>(position.lat_e7), 4);
    crc.add_little_endian(static_cast<std::uint32_t>(position.lon_e7), 4);
    return crc.value();
}

}  // namespace thirstline
