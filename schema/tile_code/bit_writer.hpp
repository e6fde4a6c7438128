// Bits in sequence, the lowest of a byte first, and Golomb codes of whole numbers: the head of a
// tile in codec 1 (see TILE_CODE.md).
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace thirstline {

inline constexpr int kLongestGolombQuotient = 16;  ///< for larger quotients, 17 plain bits

/// Length of a number's Golomb code with divisor 2^parameter, in bits.
[[nodiscard]] inline std::uint64_t golomb_bits(std::uint32_t number, int parameter) {
    const std::uint32_t quotient = number >> parameter;
    return quotient < kLongestGolombQuotient ? quotient + 1 + static_cast<std::uint32_t>(parameter)
                                             : kLongestGolombQuotient + 17;
}

/// The parameter, 0 to 15, with which these numbers take the fewest bits; the smallest on a tie.
[[nodiscard]] inline int best_golomb_parameter(const std::vector<std::uint32_t>& numbers) {
    int best = 0;
    std::uint64_t least = ~std::uint64_t{0};
    for (int parameter = 0; parameter < 16; ++parameter) {
        std::uint64_t bits = 0;
        for (const std::uint32_t number : numbers) bits += golomb_bits(number, parameter);
        if (bits < least) {
            least = bits;
            best = parameter;
        }
    }
    return best;
}

class BitWriter {
  public:
    /// The lowest `count` bits of `value`, at most 24 at once.
    void add(std::uint32_t value, int count) {
        pending_ |= (value & ((1U << count) - 1U)) << pending_bits_;
        pending_bits_ += count;
        while (pending_bits_ >= 8) {
            bytes_.push_back(static_cast<std::uint8_t>(pending_));
            pending_ >>= 8;
            pending_bits_ -= 8;
        }
    }

    /// `number` must be below 2^17.
    void add_golomb(std::uint32_t number, int parameter) {
        const std::uint32_t quotient = number >> parameter;
        if (quotient < kLongestGolombQuotient) {
            add((1U << quotient) - 1U, static_cast<int>(quotient) + 1);
            add(number, parameter);
        } else {
            add((1U << kLongestGolombQuotient) - 1U, kLongestGolombQuotient);
            add(number, 17);
        }
    }

    void append(const BitWriter& other) {
        for (const std::uint8_t byte : other.bytes_) add(byte, 8);
        add(other.pending_, other.pending_bits_);
    }

    /// The bits added so far, padded with zeros to whole bytes.
    [[nodiscard]] std::vector<std::uint8_t> bytes() const {
        std::vector<std::uint8_t> bytes = bytes_;
        if (pending_bits_ > 0) bytes.push_back(static_cast<std::uint8_t>(pending_));
        return bytes;
    }

  private:
    std::vector<std::uint8_t> bytes_;
    std::uint32_t pending_ = 0;
    int pending_bits_ = 0;
};

}  // namespace thirstline
