// Tiles of one address from several files, and in the terms of the joined file.
#pragma once

#include "builder/join/join_plan.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Adds the points that `tile` lacks; false if the two contradict each other.
[[nodiscard]] bool unite(Tile& tile, const Tile& more, const TileLayout& layout);

/// The tile of a baseline with all layers of the joined file — missing if this baseline lacks one —
/// and its period ids.
[[nodiscard]] Tile in_joined_terms(Tile tile, const JoinPlan& plan, const JoinedLattice& lattice);

}  // namespace thirstline
