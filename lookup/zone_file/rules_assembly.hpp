// Converts values to local rules.
#pragma once

#include <vector>

#include "lookup/demand/local_rules.hpp"
#include "lookup/zone_file/zone_values.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Errors, each with its place: days given both directly and by address, a rule by address without
/// a house number or only for other numbers, a window's start without its length, a restriction
/// without its dates.
[[nodiscard]] Result<LocalRules> local_rules(const ZoneValues& site,
                                             const std::vector<ZoneValues>& restrictions);

}  // namespace thirstline
