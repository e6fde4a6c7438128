// What residuals of codec 1 cost in bits, in several neighbouring classes at once: see
// TILE_CODE.md.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "schema/tile_code/plane_details.hpp"

namespace thirstline {

/// Costs are in 1/kCostOfABit of a bit: few enough that those of a block fit 16 bits.
inline constexpr std::uint32_t kCostOfABit = 32;

/// The table of a class from 1 on, and how many low bits stand beside its symbols.
struct ClassTable {
    std::uint32_t table = 0;
    int low_bits = 0;
};
[[nodiscard]] ClassTable table_of(std::uint32_t residual_class);

/// Bits that say how far beyond the last symbol an escaped number lies.
[[nodiscard]] int escape_bits(std::uint32_t number);

/// Neighbouring classes of residuals in a block's interior, from `first` on, of which costs are
/// found together; at the block's edge they are wider.
struct ClassWindow {
    std::uint32_t first = 1;
    int low_bits = 0;  ///< of the first class: all classes here have at least as many
};

inline constexpr std::uint32_t kClassesAtOnce = 8;
using ClassCosts = std::array<std::uint32_t, kClassesAtOnce>;

/// The classes around that whose mean is nearest to that of `count` folded residuals.
[[nodiscard]] ClassWindow window_around(std::uint64_t sum_of_residuals, std::uint64_t count);

/// The window of the same width that begins nearest to `first`.
[[nodiscard]] ClassWindow window_from(std::int32_t first);

/// Which row of the table of costs a residual stands in; slots that do not count have another. The
/// wildest share a row, so that their cost is understated.
inline constexpr std::uint16_t kGreatestCostRow = 126;
inline constexpr std::uint16_t kFreeCostRow = 127;

/// Adds the costs of a block's residuals, whose low bits (the window's) were shifted out.
void add_costs(const ClassWindow& window, const Plane& rows, ClassCosts& costs);

/// What one folded residual costs in a class, however large it is; slow.
[[nodiscard]] std::uint32_t cost_of_residual(std::uint32_t residual_class, std::uint32_t residual);

/// Bits that it takes to say `residual_class` after the last plane's, as a cost.
[[nodiscard]] std::uint32_t cost_of_saying(std::uint32_t residual_class,
                                           std::uint32_t previous_class);

/// The same for each class of the window.
[[nodiscard]] ClassCosts costs_of_saying(const ClassWindow& window, std::uint32_t previous_class);

}  // namespace thirstline
