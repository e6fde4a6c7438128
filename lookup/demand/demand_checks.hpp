// Whether what was said of a site can be so: every number finite and within its range.
//
// Each error (bad_input) names the zone and the field by its stem in the zone file, the value, and
// what to do. Nothing is silently put right.
#pragma once

#include <vector>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Errors: a tall reference, which plant factors do not belong to; a negative or impossible normal.
[[nodiscard]] Result<void> check_climate(const SiteClimate& climate);

/// Errors: no zone, a zone without a name or with another's, numbers out of range, what
/// contradicts itself.
[[nodiscard]] Result<void> check_zones(const std::vector<Zone>& zones);

/// Errors: numbers out of range, days or hours that leave none, those of `rules_by_month`.
[[nodiscard]] Result<void> check_local_rules(const LocalRules& rules);

}  // namespace thirstline
