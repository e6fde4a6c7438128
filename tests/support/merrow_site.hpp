// The floor of the invented Merrow valley, as the look-up reports it for Ostrey Bridge, and three
// zones there.
#pragma once

#include <string_view>
#include <vector>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/demand_plan.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

[[nodiscard]] SiteClimate merrow_climate();

/// 1500 ft² of cool-season lawn on clay loam, 1.4 in/h, DU 0.65, 5 % slope, roots 6 in.
[[nodiscard]] Zone north_lawn();
/// Drip irrigation of shrubs: 60 emitters of 1 gal/h on 400 ft² of loam.
[[nodiscard]] Zone shrub_bed();
/// Warm-season lawn on sand, with its application rate given by its flow.
[[nodiscard]] Zone sandy_strip();

/// The plan; if there is none, fails the test and returns an empty one.
[[nodiscard]] DemandPlan plan_or_fail(const SiteClimate& climate, const std::vector<Zone>& zones,
                                      const LocalRules& rules = {},
                                      const std::optional<WaterPrice>& price = std::nullopt);

/// Conflicts with a rule, by month.
[[nodiscard]] std::vector<Conflict> conflicts_of(const ZonePlan& zone, std::string_view rule);

[[nodiscard]] AllowedDays monday_wednesday_friday();

}  // namespace thirstline
