// A comparison as text and as JSON.
#pragma once

#include <string>

#include "builder/compare/comparison.hpp"

namespace thirstline {

/// Sections of what has changed; long lists are cut, and say so. Values in mm.
[[nodiscard]] std::string comparison_text(const DatabaseComparison& comparison);

/// Everything, as schema/json/compare.schema.json describes it.
[[nodiscard]] std::string comparison_json(const DatabaseComparison& comparison);

/// "moved by 1.2 km; elevation_m 120 → 180": what has changed about a station, without its name.
[[nodiscard]] std::string station_change_text(const StationChange& change);

}  // namespace thirstline
