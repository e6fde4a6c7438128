// The months that a file's twelve times refer to, if the file specifies them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "builder/grids/band_times.hpp"

namespace thirstline {

/// The fault in the times of twelve bands, such as "its first time is in July"; nothing if they run
/// from January to December. A time on the first day of a month, at 0 h, may also be the end of the
/// previous month.
[[nodiscard]] std::optional<std::string> trouble_with_months(const std::vector<BandTime>& times);

}  // namespace thirstline
