// Where a finer lattice ends on land that a coarser baseline covers too.
#pragma once

#include <cstddef>
#include <vector>

#include "builder/join/join_plan.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

/// Places one lattice step outside of the lattice's data, as unit vectors: beyond its box where a
/// lattice of another baseline below it has data, and within its box around points of such a
/// lattice at which it has none. In order of rows and columns. Keeps one bit for each point of the
/// lattice. `tiles` reads tiles of the joined file. Errors: those of reading.
[[nodiscard]] Result<std::vector<Vector3>> border_of_overlay(const JoinPlan& plan,
                                                             std::size_t lattice,
                                                             TileSource& tiles);

}  // namespace thirstline
