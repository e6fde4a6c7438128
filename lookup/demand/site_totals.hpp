// A site's year: its volume and cost, and what other schedules would use.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/water_price.hpp"

namespace thirstline {

/// Schedules that the plan is compared with, the least water first: "two_settings" (the peak runs
/// in the months of at least 66 % of the peak's need, the greatest of the other months in the rest
/// of the season: one change in spring and one in fall), "peak_all_season", "peak_all_year", and
/// "current" where the owner gave his percentages. Each is of the base runs as they are keyed.
[[nodiscard]] std::vector<Comparison> comparisons(const DemandPlan& plan,
                                                  const std::optional<WaterPrice>& price,
                                                  const SiteSetup& setup);

/// Fills the costs of zones and months (shared by volume) and the site's totals, all of the
/// settings as they are keyed.
void add_totals(DemandPlan& plan, const std::optional<WaterPrice>& price, const SiteSetup& setup);

}  // namespace thirstline
