// Separate runs for seed, sod and young plants, within the local rules.
#pragma once

#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

struct NewPlantingRuns {
    NewPlantingPlan plan;
    std::vector<Conflict> conflicts;  ///< of the month in which the regime ends
};

/// `zone` must have its area, rate and longest cycle, and `regime` must have passed its check. A
/// monthly share never cuts these runs; run-off and the local rules do, and each cut is a conflict.
[[nodiscard]] NewPlantingRuns new_planting_runs(const NewPlanting& regime, const ZonePlan& zone,
                                                const LocalRules& rules,
                                                const Controller& controller = {});

}  // namespace thirstline
