// Integer division with the rounding of FORMAT.md: to the nearest, halves away from zero.
#pragma once

#include <cstdint>

namespace thirstline {

/// `divisor` above 0.
[[nodiscard]] constexpr std::int64_t rounded_half_away(std::int64_t dividend,
                                                       std::int64_t divisor) {
    const std::int64_t half = divisor / 2;
    return dividend < 0 ? -((-dividend + half) / divisor) : (dividend + half) / divisor;
}

}  // namespace thirstline
