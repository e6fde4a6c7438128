// The squares of points over which gradients are means: 16 x 16, anchored as tiles are. A tile lies
// in one of them, whatever its size, so that plain and compact files carry an answer to a site's
// elevation alike.
#pragma once

#include "builder/recipe/recipe.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

inline constexpr int kGradientSquareEdge = 16;
static_assert(kGradientSquareEdge % kPlainTileEdge == 0 &&
              kGradientSquareEdge % kCompactTileEdge == 0);

/// The lattice as if its tiles were the squares: tile_of, point_in_tile … then speak of squares.
[[nodiscard]] Lattice lattice_of_gradient_squares(const Lattice& lattice);

/// Two of 16 points, one in every second row and column: each costs a solution of its own, and
/// neighbours have much the same gradients.
[[nodiscard]] bool is_gradient_sample(const Lattice& lattice, LatticePoint point);

}  // namespace thirstline
