// From a site's climate and its zones to a year's plan that keeps the local rules.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Errors (bad_input): no zone; a number out of its range, with zone and field; a baseline of tall
/// reference; turf coefficients of California elsewhere.
[[nodiscard]] Result<DemandPlan> demand_plan(const SiteClimate& climate,
                                             const std::vector<Zone>& zones,
                                             const LocalRules& rules,
                                             const std::optional<WaterPrice>& price,
                                             const SiteSetup& setup = {});

}  // namespace thirstline
