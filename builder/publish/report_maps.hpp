// Small maps for the report, drawn as SVG without a style or script of their own.
#pragma once

#include <string>
#include <vector>

#include "builder/publish/map_raster.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

inline constexpr int kMapShades = 6;

/// Round bounds between classes that hold about equally many cells: a value belongs to the class of
/// as many bounds as it reaches. At most kMapShades − 1, ascending; none where all values are
/// alike.
[[nodiscard]] std::vector<double> class_bounds(std::vector<double> values);

/// A figure a layer, with its legend; and one of the stations that lie on the map, if any does.
[[nodiscard]] std::string map_figures(const MapRaster& map,
                                      const std::vector<StationRecord>& stations);

}  // namespace thirstline
