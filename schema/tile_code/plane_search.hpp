// The cheapest way to code a plane in codec 1: which predictor, and which weights of its
// references. See TILE_CODE.md.
//
// Integers, but for the fit of the weights: a few doubles that are the same on every machine.
//
// Thread safety: pure; a block belongs to one thread at a time.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "schema/tile_code/plane_details.hpp"
#include "schema/tile_code/residual_coder.hpp"
#include "schema/tile_code/tile_code.h"

namespace thirstline {

/// A block while it is written: where it lies, its points, the plane in hand, and the details of
/// the planes that are still referred to, numbered as in thirstline_block.
struct CodedBlock {
    int first_row = 0, first_column = 0, width = 0, height = 0;
    std::uint32_t corner_error = 0;
    std::uint32_t residual_count = 0;
    std::size_t gap_count = 0;
    /// Slots within the block, but for the corner, that lack a value; in ascending order.
    std::array<std::uint8_t, THIRSTLINE_BLOCK_SLOTS> gaps{};
    Plane present{};             ///< 0xFFFF where there is a point
    Plane has_value{};           ///< ... that has a value in the plane in hand
    Plane has_residual{};        ///< the same, but for the corner
    Plane knows_neighbours{};    ///< ... and whose neighbours have one: fit to be learnt from
    Plane own{};                 ///< the plane in hand
    PlaneDetails own_details{};  ///< of the plane in hand
    Plane residuals{};           ///< of the plane in hand, folded
    std::array<PlaneDetails, THIRSTLINE_PLANES> details{};
    ResidualCoder coder;

    [[nodiscard]] bool holds(int slot) const {
        return slot / THIRSTLINE_BLOCK_EDGE < height && slot % THIRSTLINE_BLOCK_EDGE < width;
    }
};

/// To be called when `has_value` has changed.
void note_values(CodedBlock& block);

/// What a plane's form is told against.
struct PlaneContext {
    std::uint32_t month = 0;
    std::uint32_t layers_before = 0;
    std::uint32_t previous_class = THIRSTLINE_FIRST_CLASS;
    std::uint32_t previous_predictor = 0;
};

/// The form in which the blocks' planes in hand, whose corners and values stand, take the least
/// room. Leaves in `own` and `residuals` what a reader of this form will have.
[[nodiscard]] thirstline_plane_form cheapest_form(std::vector<CodedBlock>& blocks,
                                                  const PlaneContext& context);

/// Keeps the plane in hand among those referred to.
void keep_plane(CodedBlock& block, std::size_t plane);

}  // namespace thirstline
