// The cost of residuals of codec 1 in bits, in several adjacent classes at once: see TILE_CODE.md.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "schema/tile_code/plane_details.hpp"

namespace thirstline {

/// Costs are in 1/kCostOfABit of a bit: coarse enough that the sum over a block fits 16 bits.
inline constexpr std::uint32_t kCostOfABit = 32;

/// The table of a class from 1 on, and the number of low bits written after its symbols.
struct ClassTable {
    std::uint32_t table = 0;
    int low_bits = 0;
};
[[nodiscard]] ClassTable table_of(std::uint32_t residual_class);

/// Number of bits that code how far an escaped number is beyond the last symbol.
[[nodiscard]] int escape_bits(std::uint32_t number);

/// Adjacent classes of residuals in a block's interior, from `first` on, whose costs are found
/// together; at the block's edge classes are wider.
struct ClassWindow {
    std::uint32_t first = 1;
    int low_bits = 0;  ///< of the first class: the other classes have at least as many
};

inline constexpr std::uint32_t kClassesAtOnce = 8;
using ClassCosts = std::array<std::uint32_t, kClassesAtOnce>;

/// The classes around the one whose mean is nearest to that of `count` folded residuals.
[[nodiscard]] ClassWindow window_around(std::uint64_t sum_of_residuals, std::uint64_t count);

/// The window of the same width that begins nearest to `first`.
[[nodiscard]] ClassWindow window_from(std::int32_t first);

/// Row of the cost table for a residual; slots that do not count have another row. The largest
/// residuals share a row, so their cost is understated.
inline constexpr std::uint16_t kGreatestCostRow = 126;
inline constexpr std::uint16_t kFreeCostRow = 127;

/// Adds the costs of a block's residuals, whose low bits (as many as the window's) were shifted
/// out.
void add_costs(const ClassWindow& window, const Plane& rows, ClassCosts& costs);

/// The cost of one folded residual of any size in a class; slow.
[[nodiscard]] std::uint32_t cost_of_residual(std::uint32_t residual_class, std::uint32_t residual);

/// The cost of coding `residual_class` after the last plane's class.
[[nodiscard]] std::uint32_t cost_of_class(std::uint32_t residual_class,
                                          std::uint32_t previous_class);

/// The same for each class of the window.
[[nodiscard]] ClassCosts costs_of_classes(const ClassWindow& window, std::uint32_t previous_class);

}  // namespace thirstline
