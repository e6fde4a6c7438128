// Adjusts an answer from its points' own elevation to that of the site: FORMAT.md, section 6,
// Elevation. Files of format 1.2 and later are adjusted within limits, with errors that grow; files
// of 1.0 and 1.1 as those versions define it, so that a file's answers never change.
#pragma once

#include <cstdint>

#include "schema/answer/answer.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Adjusts the values of a found answer to `elevation_m`; also sets `shifted_by_cm` and
/// `exceeds_max_adjustment`. If the points have no elevation, nothing changes.
void adjust_to_elevation(Answer& answer, std::int32_t elevation_m, const TileLayout& layout);

}  // namespace thirstline
