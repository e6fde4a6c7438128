// Which values of which grids are in a point's numbers: drivers that a better one made idle, or a
// grid of ETo, did not speak.
#pragma once

#include <array>
#include <cstdint>

#include "builder/pipeline/point_record.hpp"

namespace thirstline {

/// By the recipe's grids, of which there are at most 127: how many of the point's values are
/// theirs.
using UsedValues = std::array<std::uint8_t, 128>;

/// A month and variable counts once.
[[nodiscard]] UsedValues used_values(const PointRecord& record, bool keeps_temperatures);

}  // namespace thirstline
