// What a publication must know about all points before it can divide them: their extent, their
// number, and the methods of their numbers.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <vector>

#include "builder/export/lat_lon_box.hpp"
#include "builder/export/selected_tiles.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The points with data of one tile of the file.
struct SurveyedTile {
    int lattice = 0;  ///< its index among the database's lattices
    TileAddress address;
    LatLonBox box;  ///< around these points
    int points = 0;
};

struct PointSurvey {
    std::int64_t points = 0;
    std::vector<std::int64_t> points_of_lattice;
    std::map<std::uint16_t, std::int64_t> points_by_method;  ///< by least trusted method
    LatLonBox box;                                           ///< around all points
    std::vector<SurveyedTile> tiles;                         ///< by key
};

/// Reads every tile once; memory grows with the number of tiles, not of points.
/// Errors: those of SelectedTiles::row; no_data if there is no point.
[[nodiscard]] Result<PointSurvey> surveyed_points(Database& database, const SelectedTiles& tiles);

/// A box around all of them; it crosses the antimeridian only if that makes it less than half as
/// wide. No tile's box may be wider than the full circle, and there must be one.
[[nodiscard]] LatLonBox box_around(const std::vector<SurveyedTile>& tiles);

}  // namespace thirstline
