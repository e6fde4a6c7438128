// Which values of which grids are in a point's numbers: drivers that a better one made idle, or a
// grid of ETo, did not speak.
//
// Thread safety: pure functions.
#pragma once

#include <functional>

#include "builder/build/point_record.hpp"

namespace thirstline {

/// Calls `visit(grid)` once for each month and value that counts.
void for_each_used_value(const PointRecord& record, bool keeps_temperatures,
                         const std::function<void(std::size_t grid)>& visit);

}  // namespace thirstline
