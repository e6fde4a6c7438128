// How the numbers of two files differ at the points of both.
#pragma once

#include "builder/compare/comparison.hpp"

namespace thirstline {

/// Compares what both files answer, by interpolation, at the lattice points of either; lattices may
/// differ. Errors: those of reading; interrupted.
[[nodiscard]] Result<PointChanges> compared_points(Database& before, Database& after,
                                                   const std::atomic<bool>& interrupted);

/// Both lists are read in order, once. Errors: those of reading.
[[nodiscard]] Result<PostalChanges> compared_postal_codes(const Database& before,
                                                          const Database& after);

}  // namespace thirstline
