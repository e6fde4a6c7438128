// What the plan of a year assumes, beside the defaults of each zone: how days and shares
// were chosen, and what rain was counted on.
#pragma once

#include <optional>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/controller.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/year_schedule.hpp"

namespace thirstline {

/// Of one zone's months.
[[nodiscard]] Assumptions month_assumptions(const ZoneDemand& demand,
                                            const ZoneYearSchedule& schedule);

/// Of the site as a whole; `plan` needs its zones.
[[nodiscard]] Assumptions site_assumptions(const DemandPlan& plan,
                                           const std::optional<WaterPrice>& price,
                                           const SiteSetup& setup);

}  // namespace thirstline
