// The squares of latitude and longitude into which a publication divides its points: each becomes
// one small image, so that a site's answer needs one file. Squares are counted from 90 S and 180 W
// in steps of one edge; the last row and column are cut off at the pole and the antimeridian.
#pragma once

#include <compare>
#include <cstdint>
#include <set>

#include "builder/export/lat_lon_box.hpp"
#include "builder/publish/point_survey.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

struct AreaSquare {
    int row = 0;
    int column = 0;
    friend auto operator<=>(const AreaSquare&, const AreaSquare&) = default;
};

/// A square includes its south and west edges; the others belong to its neighbours.
[[nodiscard]] AreaSquare square_of(LatLonE7 position, std::int32_t edge_arcsec);

/// The square with all of its edges.
[[nodiscard]] LatLonBox box_of_square(AreaSquare square, std::int32_t edge_arcsec);

/// All squares with a site that a point of the tiles can answer for, by interpolation or within
/// reach; the set may contain some more.
[[nodiscard]] std::set<AreaSquare> squares_answered(const PointSurvey& survey,
                                                    const std::vector<Lattice>& lattices,
                                                    std::int32_t edge_arcsec);

/// The edge of a square in which points of that many bytes take about `wanted_bytes`: a whole
/// number of image tiles of a lattice of that spacing, at most a quarter of the circle.
[[nodiscard]] std::int32_t edge_arcsec_for(std::int32_t spacing_arcsec, double bytes_of_a_point,
                                           double wanted_bytes);

}  // namespace thirstline
