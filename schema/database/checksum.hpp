// CRC-32, the checksum of every tile, of every postal code and of a file's small tables: polynomial
// 0xEDB88320 reflected, initial value and final exclusive-or 0xFFFFFFFF (ISO 3309, ITU-T V.42). The
// check value of "123456789" is 0xCBF43926.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

[[nodiscard]] std::uint32_t crc32(std::span<const std::uint8_t> bytes);

/// A CRC-32 over bytes added piece by piece.
class Crc32 {
  public:
    void add(std::uint8_t byte);
    void add(std::span<const std::uint8_t> bytes);
    void add(std::string_view text);
    void add_little_endian(std::uint64_t value, int bytes);
    [[nodiscard]] std::uint32_t value() const { return state_ ^ 0xFFFFFFFFU; }

  private:
    std::uint32_t state_ = 0xFFFFFFFFU;
};

/// The checksum of a row of the table `tile`: over its key and its gap (8 bytes each,
/// little-endian), its codec (1 byte) and its data, so that a blob moved to another row is detected
/// too.
[[nodiscard]] std::uint32_t tile_crc32(std::int64_t tile_key, std::int64_t gap, int codec,
                                       std::span<const std::uint8_t> data);

/// The checksum of a row of the table `postal`: over code, country and place, each followed by a
/// byte 0, then latitude and longitude (4 bytes each, little-endian, two's complement).
[[nodiscard]] std::uint32_t postal_crc32(std::string_view code, std::string_view country,
                                         std::string_view place, LatLonE7 position);

/// The checksum of a row of the table `station`: over name, country, source, period and variables,
/// each followed by a byte 0, then latitude, longitude and elevation (4 bytes each, little-endian,
/// two's complement).
[[nodiscard]] std::uint32_t station_crc32(std::span<const std::string_view> texts,
                                          LatLonE7 position, std::int32_t elevation_m);

}  // namespace thirstline
