// The squares of points over which gradients are averaged: 16 x 16, aligned like tiles. A tile is
// in one of them, whatever its size, so that plain and compact files adjust an answer to a site's
// elevation in the same way.
#pragma once

#include "builder/recipe/recipe.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

inline constexpr int kGradientSquareEdge = 16;
static_assert(kGradientSquareEdge % kPlainTileEdge == 0 &&
              kGradientSquareEdge % kCompactTileEdge == 0);

/// The lattice as if its tiles were the squares: tile_of, point_in_tile … then refer to squares.
[[nodiscard]] Lattice lattice_of_gradient_squares(const Lattice& lattice);

/// Two of 16 points, one in every second row and column: each requires a separate computation, and
/// neighbours have nearly the same gradients.
[[nodiscard]] bool is_gradient_sample(const Lattice& lattice, LatticePoint point);

}  // namespace thirstline
