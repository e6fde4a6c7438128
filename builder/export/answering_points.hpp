// Which lattice points answer for sites: those that a smaller file must hold to give the same
// numbers as the whole one.
//
// Thread safety: pure, apart from the Database, which belongs to one thread at a time.
#pragma once

#include <atomic>
#include <vector>

#include "builder/export/point_set.hpp"
#include "builder/export/site_selection.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// For each place the corners that its answer is interpolated from, or the nearest point within
/// reach.
/// Errors: those of reading the database.
[[nodiscard]] Result<PointSet> points_that_answer(Database& database,
                                                  const std::vector<PostalPlace>& places);

/// For a box or region: points that are no corner of a cell with a site of it, and yet can be the
/// nearest point to such a site. They lie beyond the selection's edge, by the water or by the end
/// of the data. Some more may be among them; memory grows with the length of that edge.
/// Errors: those of reading the database; interrupted.
[[nodiscard]] Result<PointSet> nearest_points_beyond(Database& database,
                                                     const SiteSelection& selection,
                                                     const std::atomic<bool>& interrupted);

}  // namespace thirstline
