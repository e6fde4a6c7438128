// Small maps for the report, drawn as SVG without a style or script of their own.
#pragma once

#include <string>
#include <vector>

#include "builder/publish/map_raster.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

inline constexpr int kMapShades = 6;

/// Round bounds between classes with about equal numbers of cells: a value's class is the number of
/// bounds that it reaches. At most kMapShades − 1, ascending; none if all values are equal.
[[nodiscard]] std::vector<double> class_bounds(std::vector<double> values);

/// Bounds of six classes of a change: symmetrical about 0, at about the median and the 90th
/// percentile of its amount. None if nothing changes.
[[nodiscard]] std::vector<double> change_bounds(const std::vector<double>& changes);

/// One figure per layer of change_raster_of; empty if it has none.
[[nodiscard]] std::string change_figures(const MapRaster& change);

/// One figure per layer, with its legend; and one of the stations that are on the map, if any.
[[nodiscard]] std::string map_figures(const MapRaster& map,
                                      const std::vector<StationRecord>& stations);

}  // namespace thirstline
