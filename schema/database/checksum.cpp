#include "schema/database/checksum.hpp"

#include <array>

namespace thirstline {

namespace {

constexpr int kSlices = 8;
using SliceTables = std::array<std::array<std::uint32_t, 256>, kSlices>;

/// Table 0 is the remainder of a byte; table k that of a byte followed by k zero bytes, so that
/// eight bytes are processed at once.
constexpr SliceTables slice_tables() {
    SliceTables tables{};
    for (std::uint32_t byte = 0; byte < 256; ++byte) {
        std::uint32_t remainder = byte;
        for (int bit = 0; bit < 8; ++bit)
            remainder = (remainder >> 1) ^ ((remainder & 1U) != 0 ? 0xEDB88320U : 0U);
        tables[0][byte] = remainder;
    }
    for (std::size_t slice = 1; slice < kSlices; ++slice) {
        for (std::size_t byte = 0; byte < 256; ++byte) {
            const std::uint32_t before = tables[slice - 1][byte];
            tables[slice][byte] = (before >> 8) ^ tables[0][before & 0xFFU];
        }
    }
    return tables;
}

constexpr SliceTables kSliceTables = slice_tables();

}  // namespace

void Crc32::add(std::uint8_t byte) {
    state_ = (state_ >> 8) ^ kSliceTables[0][(state_ ^ byte) & 0xFFU];
}

void Crc32::add(std::span<const std::uint8_t> bytes) {
    const std::uint8_t* next = bytes.data();
    std::size_t left = bytes.size();
    for (; left >= kSlices; left -= kSlices, next += kSlices) {
        const std::uint32_t low =
            state_ ^
            (static_cast<std::uint32_t>(next[0]) | static_cast<std::uint32_t>(next[1]) << 8 |
             static_cast<std::uint32_t>(next[2]) << 16 | static_cast<std::uint32_t>(next[3]) << 24);
        state_ = kSliceTables[7][low & 0xFFU] ^ kSliceTables[6][(low >> 8) & 0xFFU] ^
                 kSliceTables[5][(low >> 16) & 0xFFU] ^ kSliceTables[4][low >> 24] ^
                 kSliceTables[3][next[4]] ^ kSliceTables[2][next[5]] ^ kSliceTables[1][next[6]] ^
                 kSliceTables[0][next[7]];
    }
    for (; left > 0; --left) add(*next++);
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

std::uint32_t station_crc32(std::span<const std::string_view> texts, LatLonE7 position,
                            std::int32_t elevation_m) {
    Crc32 crc;
    for (const std::string_view text : texts) {
        crc.add(text);
        crc.add(std::uint8_t{0});
    }
    for (const std::int32_t number : {position.lat_e7, position.lon_e7, elevation_m})
        crc.add_little_endian(static_cast<std::uint32_t>(number), 4);
    return crc.value();
}

}  // namespace thirstline
