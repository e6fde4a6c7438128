// Invalid images with valid checksums, which neither a writer nor random damage produces.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "schema/database/checksum.hpp"

namespace thirstline::test {

/// An image's bytes, to be changed; recomputes the checksums of its parts.
class AlteredImage {
  public:
    explicit AlteredImage(std::vector<std::uint8_t> bytes) : bytes_(std::move(bytes)) {}
    [[nodiscard]] const std::vector<std::uint8_t>& bytes() const { return bytes_; }

    [[nodiscard]] std::uint32_t number(std::size_t at, int width) const {
        std::uint32_t value = 0;
        for (int i = width; i-- > 0;) value = value << 8 | bytes_[at + static_cast<std::size_t>(i)];
        return value;
    }
    void put(std::size_t at, std::uint64_t value, int width) {
        for (int i = 0; i < width; ++i)
            bytes_[at + static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(value >> 8 * i);
    }
    void cut(std::size_t size) { bytes_.resize(size); }

    void seal_head() {
        const std::size_t size = number(16, 2);
        put(size - 4, crc32({bytes_.data(), size - 4}), 4);
    }
    /// A record of the directory, or a block.
    void seal_record(std::size_t at, std::size_t size) {
        Crc32 crc;
        crc.add_little_endian(at, 4);
        crc.add({bytes_.data() + at, size - 4});
        put(at + size - 4, crc.value(), 4);
    }
    /// The first lattice's tile of part 0 in its first row and column.
    void seal_first_tile(std::size_t at, std::size_t size) {
        Crc32 crc;
        for (int i = 0; i < 3; ++i) crc.add_little_endian(0, 4);
        crc.add({bytes_.data() + at, size - 4});
        put(at + size - 4, crc.value(), 4);
    }

    // For an image with two layers, one lattice and a postal index of one leaf: see IMAGE.md.
    static constexpr std::size_t kFirstLayer = 64;
    static constexpr std::size_t kSecondLayer = 72;
    static constexpr std::size_t kLattice = 80;
    [[nodiscard]] std::size_t directory() const { return number(kLattice + 24, 4); }
    [[nodiscard]] std::size_t tile() const { return number(directory(), 4); }
    [[nodiscard]] std::size_t tile_bytes() const { return number(directory() + 4, 2); }
    [[nodiscard]] std::size_t postal() const { return number(32, 4); }
    [[nodiscard]] std::size_t texts() const { return number(44, 4); }
    /// The changes with elevation.
    [[nodiscard]] std::size_t changes() const {
        return texts() + (number(48, 4) + 250) / 251 * std::size_t{256};
    }

  private:
    std::vector<std::uint8_t> bytes_;
};

}  // namespace thirstline::test
