// The annual figures of all points on one coarse raster, for a small map.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "builder/export/selected_tiles.hpp"
#include "builder/publish/point_survey.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

inline constexpr std::int64_t kMaxMapCells = 20'000;

/// Cells of equal latitude and longitude. Row 0 is the southernmost, column 0 the westernmost; the
/// given corner is that of cell (0, 0), and columns continue past 180 E if the raster crosses it.
struct MapGrid {
    int rows = 0;
    int columns = 0;
    std::int32_t west_arcsec = 0;
    std::int32_t south_arcsec = 0;
    std::int32_t spacing_arcsec = 0;
};

struct MapLayer {
    std::string id;
    std::string unit;
    std::string name;
    /// Row by row from the south-west; the mean of the points in the cell, rounded to `decimals`.
    std::vector<std::optional<double>> values;
    int decimals = 0;
};

struct MapRaster {
    MapGrid grid;
    std::vector<MapLayer> layers;  ///< layers that the database has data for
    std::vector<bool> has_data;    ///< by cell
};

/// The finest grid of at most kMaxMapCells cells over the survey's points, with a spacing that is a
/// whole multiple of that of the lattice with most points.
[[nodiscard]] MapGrid map_grid_of(const PointSurvey& survey, const std::vector<Lattice>& lattices);

/// Where lattices overlap, the one with the highest rank is used. Errors: those of
/// SelectedTiles::row.
[[nodiscard]] Result<MapRaster> map_raster_of(const Database& database, const SelectedTiles& tiles,
                                              const PointSurvey& survey);

/// The centre of the cell with data that is nearest to the middle of the raster; nothing if no cell
/// has data.
[[nodiscard]] std::optional<LatLonE7> middle_of(const MapRaster& map);

/// The change of the year's ETo and rain from one database to another, on the newer one's grid, in
/// tenths of a millimetre; cells without data in both are empty.
/// Errors: those of SelectedTiles; no_data for a database without points.
[[nodiscard]] Result<MapRaster> change_raster_of(Database& before, Database& after,
                                                 const std::atomic<bool>& interrupted);

}  // namespace thirstline
