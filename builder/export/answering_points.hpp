// Finds the lattice points that answer for sites: those that a smaller file must contain to give
// the same numbers as the whole file.
//
// Thread safety: pure, except for the Database, which belongs to one thread at a time.
#pragma once

#include <atomic>
#include <vector>

#include "builder/export/point_set.hpp"
#include "builder/export/site_selection.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// For each place, the corners that its answer is interpolated from, or the nearest point within
/// reach. Errors: those of reading the database.
[[nodiscard]] Result<PointSet> points_that_answer(Database& database,
                                                  const std::vector<PostalPlace>& places);

/// For a box or region: points that are not a corner of a cell with a site of it, but can be the
/// nearest point to such a site. They are beyond the selection's edge, near water or near the end
/// of the data. The set may contain some more points; memory grows with the length of that edge.
/// Errors: those of reading the database; interrupted.
[[nodiscard]] Result<PointSet> nearest_points_beyond(Database& database,
                                                     const SiteSelection& selection,
                                                     const std::atomic<bool>& interrupted);

}  // namespace thirstline
