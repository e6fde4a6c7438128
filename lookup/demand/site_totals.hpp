// A site's yearly volume and cost, and the volume that other schedules would use.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/water_price.hpp"

namespace thirstline {

/// Schedules that are compared with the plan, the least water first: "two_settings" (the peak runs
/// in the months of at least 66 % of the peak's need, the greatest of the other months in the rest
/// of the season: one change in spring and one in fall), "peak_all_season", "peak_all_year", and
/// "current" if the owner gave current percentages. Each uses the base runs as set on the
/// controller.
[[nodiscard]] std::vector<Comparison> comparisons(const DemandPlan& plan,
                                                  const std::optional<WaterPrice>& price,
                                                  const SiteSetup& setup);

/// Sets the costs of zones and months (shared by volume) and the site's totals, all for the
/// settings as entered on the controller.
void add_totals(DemandPlan& plan, const std::optional<WaterPrice>& price, const SiteSetup& setup);

}  // namespace thirstline
