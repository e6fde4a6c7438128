// Bytes of an embedded image: numbers, little-endian, and records with their checksums. See
// schema/IMAGE.md.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "schema/database/checksum.hpp"

namespace thirstline {

using ImageBytes = std::vector<std::uint8_t>;

/// The least significant `bytes` bytes of a number, the lowest first.
inline void append_number(ImageBytes& out, std::uint64_t number, int bytes) {
    for (int at = 0; at < bytes; ++at) out.push_back(static_cast<std::uint8_t>(number >> 8 * at));
}

inline void append_text(ImageBytes& out, std::string_view text) {
    out.insert(out.end(), text.begin(), text.end());
}

/// The bytes, followed by the checksum of their offset in the file and of themselves.
inline void append_record(ImageBytes& out, std::uint32_t offset, const ImageBytes& bytes) {
    Crc32 crc;
    crc.add_little_endian(offset, 4);
    crc.add(bytes);
    out.insert(out.end(), bytes.begin(), bytes.end());
    append_number(out, crc.value(), 4);
}

inline constexpr std::size_t kImageBlockBytes = 256;
inline constexpr std::size_t kImageBlockContent = kImageBlockBytes - 4;

/// A block's content, padded with zeros, as a record.
inline void append_block(ImageBytes& out, std::uint32_t offset, ImageBytes content) {
    content.resize(kImageBlockContent);
    append_record(out, offset, content);
}

}  // namespace thirstline
