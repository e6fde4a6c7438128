// Exact boxes in latitude and longitude: whole units of 1/90000000 degree, in which both an
// arc-second (25000) and 1e-7 degree (9) are whole. A box may cross the antimeridian and may be a
// line or a single place.
#pragma once

#include <cstdint>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

inline constexpr std::int64_t kUnitsPerE7 = 9;
inline constexpr std::int64_t kUnitsPerArcsec = 25'000;
inline constexpr std::int64_t kUnitsPerCircle = kArcsecPerCircle * kUnitsPerArcsec;
inline constexpr std::int64_t kPole = kUnitsPerCircle / 4;

/// The way east from one longitude to another, both in the same unit: 0 to circle − 1.
[[nodiscard]] constexpr std::int64_t eastward(std::int64_t from, std::int64_t to,
                                              std::int64_t circle = kUnitsPerCircle) {
    const std::int64_t rest = (to - from) % circle;
    return rest < 0 ? rest + circle : rest;
}

struct LatLonBox {
    std::int64_t south = 0;  ///< may be beyond a pole, for a box that extends over it
    std::int64_t north = 0;
    std::int64_t west = 0;
    std::int64_t width = 0;  ///< eastward, 0 to kUnitsPerCircle
    friend bool operator==(const LatLonBox&, const LatLonBox&) = default;
};

/// "W,S,E,N" in decimal degrees; E less than W crosses the antimeridian, and −180,…,180 is the
/// whole circle. Errors (usage): one sentence that names the wrong number.
[[nodiscard]] Result<LatLonBox> parsed_box(std::string_view text);

/// A box includes its edges.
[[nodiscard]] bool holds(const LatLonBox& box, LatLonE7 position);

/// Whether they share a place inside `open`, not on its edge.
[[nodiscard]] bool reaches_into(const LatLonBox& box, const LatLonBox& open);

/// Whether they share a place, including on an edge.
[[nodiscard]] bool touches(const LatLonBox& a, const LatLonBox& b);

[[nodiscard]] bool contains(const LatLonBox& outer, const LatLonBox& inner);

/// Extended by a distance on the ground on all sides, or by more; at the poles, to the whole
/// circle.
[[nodiscard]] LatLonBox widened(const LatLonBox& box, double metres);

/// The square of lattice cells with `south_west` as its corner and `cells` along each side.
[[nodiscard]] LatLonBox box_of_cells(const Lattice& lattice, LatticePoint south_west, int cells);

}  // namespace thirstline
