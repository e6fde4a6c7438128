// The values of each grid that are used at a point: drivers replaced by a better one, or by a grid
// of ETo, are not used.
#pragma once

#include <array>
#include <cstdint>

#include "builder/pipeline/point_record.hpp"

namespace thirstline {

/// By the recipe's grids, of which there are at most 127: the number of the point's values from
/// each.
using UsedValues = std::array<std::uint8_t, 128>;

/// Each month and variable counts once.
[[nodiscard]] UsedValues used_values(const PointRecord& record, bool keeps_temperatures);

}  // namespace thirstline
