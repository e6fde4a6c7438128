// Nearest lattice points with data, found by a walk outward from a position, row by row.
//
// Thread safety: pure, except for the TileSource, which belongs to one thread at a time.
#pragma once

#include <optional>
#include <vector>

#include "schema/answer/answer.hpp"

namespace thirstline {

struct NearestPoint {
    LatticePoint point;
    std::int32_t distance_m = 0;
};

/// The point with data at the smallest chord within `reach_m` of the position; at equal chords the
/// southernmost, then the westernmost. Nothing if there is none.
[[nodiscard]] Result<std::optional<NearestPoint>> nearest_point(LatLonE7 position,
                                                                const Lattice& lattice,
                                                                std::int32_t reach_m,
                                                                TileSource& tiles);

/// Every point with data within this distance of the position, in no particular order; if a whole
/// circle of latitude is within it, a point may be listed twice.
[[nodiscard]] Result<std::vector<LatticePoint>> points_within(LatLonE7 position,
                                                              const Lattice& lattice,
                                                              std::int32_t distance_m,
                                                              TileSource& tiles);

}  // namespace thirstline
