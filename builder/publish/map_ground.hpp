// The ground of the page's map: coasts, borders, rivers and towns from vector files, cut to the
// map's surroundings and simplified.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "builder/publish/map_raster.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Maximum size of the ground, as a web host sends it, deflated.
inline constexpr std::size_t kMaxGroundBytes = 60'000;

/// The page's file: {"west", "south" in degrees, "step" in degrees, "lines": [[x, y, dx, dy, …],
/// …], "places": [[x, y, name], …]}, in whole steps from that corner. Outlines of polygons are
/// lines; points that have a field `name` are places. Lines are simplified as much as the maximum
/// size requires. Errors: those of opening the files; bad_input for files without anything there,
/// with more than ten million corners, or that cannot be made small enough.
[[nodiscard]] Result<std::string> ground_json(const std::vector<std::string>& files,
                                              const MapGrid& grid);

}  // namespace thirstline
