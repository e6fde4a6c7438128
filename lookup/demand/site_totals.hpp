// A site's year: its volume and cost, against schedules that nobody turns down.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/plan.hpp"
#include "lookup/demand/water_price.hpp"

namespace thirstline {

/// Volumes by month if each zone's peak runs went on: in every month in which that zone has a need,
/// or in all twelve.
enum class FixedSchedule { all_season, all_year };
[[nodiscard]] Monthly<double> fixed_schedule_l(const std::vector<ZonePlan>& zones,
                                               FixedSchedule schedule);

/// Fills the costs of zones and months (shared by volume) and the site's totals.
void add_totals(DemandPlan& plan, const std::optional<WaterPrice>& price);

}  // namespace thirstline
