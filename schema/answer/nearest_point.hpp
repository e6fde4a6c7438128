// The nearest lattice points that hold data, found by walking outward from a position row by row.
//
// Thread safety: pure, apart from the TileSource, which belongs to one thread at a time.
#pragma once

#include <optional>
#include <vector>

#include "schema/answer/answer.hpp"

namespace thirstline {

struct NearestPoint {
    LatticePoint point;
    std::int32_t distance_m = 0;
};

/// The point with data at the least chord within `reach_m` of the position; at equal chords the
/// southernmost, then the westernmost. Nothing where there is none.
[[nodiscard]] Result<std::optional<NearestPoint>> nearest_point(LatLonE7 position,
                                                                const Lattice& lattice,
                                                                std::int32_t reach_m,
                                                                TileSource& tiles);

/// Every point with data at most so far from the position, in no particular order; where the whole
/// circle is that near, a point may come twice.
[[nodiscard]] Result<std::vector<LatticePoint>> points_within(LatLonE7 position,
                                                              const Lattice& lattice,
                                                              std::int32_t distance_m,
                                                              TileSource& tiles);

}  // namespace thirstline
