// CRC-32, the checksum of every tile: polynomial 0xEDB88320 reflected, initial value and final
// exclusive-or 0xFFFFFFFF (ISO 3309, ITU-T V.42). The check value of "123456789" is 0xCBF43926.
//
// Thread safety: pure.
#pragma once

#include <cstdint>
#include <span>

namespace thirstline {

[[nodiscard]] std::uint32_t crc32(std::span<const std::uint8_t> bytes);

/// The checksum of a row of the table `tile`: over its key (8 bytes, little-endian), its codec (1
/// byte) and its data, so that a blob that was moved to another row is found out too.
[[nodiscard]] std::uint32_t tile_crc32(std::int64_t tile_key, int codec,
                                       std::span<const std::uint8_t> data);

}  // namespace thirstline
