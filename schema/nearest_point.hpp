// The nearest lattice point that holds data, found by walking outward from a position row by row.
//
// Thread safety: pure, apart from the TileSource, which belongs to one thread at a time.
#pragma once

#include <optional>

#include "schema/answer.hpp"

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

}  // namespace thirstline
