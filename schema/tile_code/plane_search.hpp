// The cheapest way to code a plane in codec 1: which predictor, and which weights of its
// references. See TILE_CODE.md.
//
// Uses integers, except for fitting the weights: a few doubles that are the same on every machine.
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

/// A block being written: its position, its points, the current plane, and the details of planes
/// that can still be referred to, numbered as in thirstline_block.
struct CodedBlock {
    int first_row = 0, first_column = 0, width = 0, height = 0;
    std::uint32_t corner_error = 0;
    std::uint32_t residual_count = 0;
    std::size_t gap_count = 0;
    /// Slots within the block, except the corner, that lack a value; in ascending order.
    std::array<std::uint8_t, THIRSTLINE_BLOCK_SLOTS> gaps{};
    Plane present{};             ///< 0xFFFF where there is a point
    Plane has_value{};           ///< 0xFFFF for a point with a value in the current plane
    Plane has_residual{};        ///< the same, except for the corner
    Plane knows_neighbours{};    ///< ... and all neighbours have one: used to fit weights
    Plane own{};                 ///< the current plane
    PlaneDetails own_details{};  ///< of the current plane
    Plane residuals{};           ///< of the current plane, folded
    std::array<PlaneDetails, THIRSTLINE_PLANES> details{};
    ResidualCoder coder;

    [[nodiscard]] bool holds(int slot) const {
        return slot / THIRSTLINE_BLOCK_EDGE < height && slot % THIRSTLINE_BLOCK_EDGE < width;
    }
};

/// Must be called after `has_value` has changed.
void note_values(CodedBlock& block);

/// What a plane's form is coded relative to.
struct PlaneContext {
    std::uint32_t month = 0;
    std::uint32_t layers_before = 0;
    std::uint32_t previous_class = THIRSTLINE_FIRST_CLASS;
    std::uint32_t previous_predictor = 0;
};

/// The form that codes the blocks' current planes, whose corners and values are set, in the fewest
/// bits. Leaves in `own` and `residuals` what a reader of this form will have.
[[nodiscard]] thirstline_plane_form cheapest_form(std::vector<CodedBlock>& blocks,
                                                  const PlaneContext& context);

/// Keeps the current plane as a reference for later planes.
void keep_plane(CodedBlock& block, std::size_t plane);

}  // namespace thirstline
