// Residuals of codec 1 as bytes: the writer of the entropy code (rANS, two states in turn) that
// tile_code.h reads.
//
// Residuals are "folded": 0, −1, 1, −2 … are written as 0, 1, 2, 3 …, at most 65535.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace thirstline {

struct ResidualStream {
    std::array<std::uint32_t, 2> states{};  ///< a reader's initial states
    std::vector<std::uint8_t> bytes;
};

/// Collects a block's residuals in reading order.
class ResidualCoder {
  public:
    void add(std::uint32_t residual_class, std::span<const std::uint16_t> folded);
    [[nodiscard]] ResidualStream stream() const;

  private:
    /// A symbol, numbered across all tables, or plain bits if even_bits is not 0.
    struct Step {
        std::uint16_t number;
        std::uint8_t even_bits, state;
    };
    /// Residuals that are single symbols, as most are.
    void add_symbols(std::uint32_t table, std::span<const std::uint16_t> symbols);
    void add_escape(std::uint32_t number);
    void add_low_bits(std::uint32_t folded, int count);
    void add_even_bits(std::uint32_t value, int count);
    std::vector<Step> steps_;
    std::uint8_t state_ = 0;
};

}  // namespace thirstline
