// Checks of a site's description: every number must be finite and within its range.
//
// Each error (bad_input) names the zone, the field by its stem in the zone file, the value, and
// what to do. Nothing is corrected silently.
#pragma once

#include <vector>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Errors: a tall-crop reference, which plant factors are not defined for; a negative or impossible
/// normal.
[[nodiscard]] Result<void> check_climate(const SiteClimate& climate);

/// Errors: no zone, a zone without a name or with the name of another, numbers out of range,
/// contradictions.
[[nodiscard]] Result<void> check_zones(const std::vector<Zone>& zones);

/// Errors: numbers out of range, no day or hour left, the errors of `rules_by_month`.
[[nodiscard]] Result<void> check_local_rules(const LocalRules& rules);

}  // namespace thirstline
