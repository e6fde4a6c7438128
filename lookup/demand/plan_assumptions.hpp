// What the plan of a year assumes, in addition to the defaults of each zone: the choice of days and
// shares, and the rain that is credited.
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

/// Of the whole site; `plan` must have its zones.
[[nodiscard]] Assumptions site_assumptions(const DemandPlan& plan,
                                           const std::optional<WaterPrice>& price,
                                           const SiteSetup& setup);

}  // namespace thirstline
