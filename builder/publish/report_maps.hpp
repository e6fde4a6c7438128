// Small maps for the report, drawn as SVG without a style or script of their own.
//
// Thread safety: pure functions.
#pragma once

#include <string>
#include <vector>

#include "builder/publish/map_raster.hpp"
#include "schema/database.hpp"

namespace thirstline {

inline constexpr int kMapShades = 6;

/// Classes of equal width with round bounds.
struct MapClasses {
    double first = 0.0;  ///< the least class's lower bound
    double step = 1.0;
    int count = 1;  ///< at most kMapShades
};
[[nodiscard]] MapClasses map_classes(double least, double greatest);

/// A figure a layer, with its legend; and one of the stations that lie on the map, if any does.
[[nodiscard]] std::string map_figures(const MapRaster& map,
                                      const std::vector<StationRecord>& stations);

}  // namespace thirstline
