// What the values of a plane differ from what their neighbours predict, under every predictor of
// codec 1 (see TILE_CODE.md): from it follow both the weights of the references and the residuals.
//
// All numbers are modulo 2^16, and all functions work on whole blocks without a branch, so that
// they are made of vector instructions.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "schema/tile_code/tile_code.h"

namespace thirstline {

inline constexpr std::size_t kSlots = THIRSTLINE_BLOCK_SLOTS;
inline constexpr std::size_t kStride =
    THIRSTLINE_BLOCK_EDGE;  ///< from a slot to the one north of it

/// A number a slot of a block, or 0xFFFF and 0 for yes and no.
struct alignas(64) Plane : std::array<std::uint16_t, kSlots> {};

inline constexpr std::size_t kPredictors = 5;

/// By predictor. 0 in the corner; of no meaning outside the block.
using PlaneDetails = std::array<Plane, kPredictors>;

/// Details under one predictor of a plane whose block is `width` points wide, 1 to 8.
void find_details_by(std::uint32_t predictor, const Plane& plane, int width, Plane& details);

/// The same under every predictor.
void find_details(const Plane& plane, int width, PlaneDetails& details);

/// What the references' details change in a prediction: their weighted sum, from quarters to whole
/// ones.
[[nodiscard]] inline std::uint16_t weighted_change(std::uint32_t first, std::uint32_t first_weight,
                                                   std::uint32_t second,
                                                   std::uint32_t second_weight) {
    return thirstline_quarter(
        static_cast<std::uint16_t>(first * first_weight + second * second_weight + 2U));
}

/// The smallest distance from 0 that is the same modulo 2^16, folded: 0, −1, 1, −2 … to 0, 1, 2, 3.
[[nodiscard]] inline std::uint16_t folded(std::uint32_t difference) {
    const auto low = static_cast<std::uint16_t>(difference);
    const auto sign = static_cast<std::uint16_t>(static_cast<std::int16_t>(low) >> 15);
    return static_cast<std::uint16_t>((low << 1) ^ sign);
}

}  // namespace thirstline
