// Details: the differences between a plane's values and the predictions from their neighbours,
// under every predictor of codec 1 (see TILE_CODE.md). The weights of the references and the
// residuals are derived from them.
//
// All numbers are modulo 2^16, and all functions process whole blocks without branches, so that the
// compiler vectorises them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "schema/tile_code/tile_code.h"

namespace thirstline {

inline constexpr std::size_t kSlots = THIRSTLINE_BLOCK_SLOTS;
inline constexpr std::size_t kStride =
    THIRSTLINE_BLOCK_EDGE;  ///< from a slot to the one north of it

/// One number per slot of a block; or 0xFFFF for yes and 0 for no.
struct alignas(64) Plane : std::array<std::uint16_t, kSlots> {};

inline constexpr std::size_t kPredictors = 5;

/// By predictor. 0 in the corner; undefined outside the block.
using PlaneDetails = std::array<Plane, kPredictors>;

/// Details under one predictor of a plane whose block is `width` points wide, 1 to 8.
void find_details_by(std::uint32_t predictor, const Plane& plane, int width, Plane& details);

/// The same under all predictors.
void find_details(const Plane& plane, int width, PlaneDetails& details);

/// The change of a prediction due to the references' details: their weighted sum, converted from
/// quarters to whole units.
[[nodiscard]] inline std::uint16_t weighted_change(std::uint32_t first, std::uint32_t first_weight,
                                                   std::uint32_t second,
                                                   std::uint32_t second_weight) {
    return thirstline_quarter(
        static_cast<std::uint16_t>(first * first_weight + second * second_weight + 2U));
}

/// The difference nearest to 0 modulo 2^16, folded: 0, −1, 1, −2 … become 0, 1, 2, 3.
[[nodiscard]] inline std::uint16_t folded(std::uint32_t difference) {
    const auto low = static_cast<std::uint16_t>(difference);
    const auto sign = static_cast<std::uint16_t>(static_cast<std::int16_t>(low) >> 15);
    return static_cast<std::uint16_t>((low << 1) ^ sign);
}

}  // namespace thirstline
