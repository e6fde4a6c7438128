// Computes a year's plan within the local rules from a site's climate and zones.
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

/// Errors (bad_input): no zone; a number out of its range, with zone and field; a tall-crop
/// reference; turf coefficients for California at another place.
[[nodiscard]] Result<DemandPlan> demand_plan(const SiteClimate& climate,
                                             const std::vector<Zone>& zones,
                                             const LocalRules& rules,
                                             const std::optional<WaterPrice>& price,
                                             const SiteSetup& setup = {});

}  // namespace thirstline
