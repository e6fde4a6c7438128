// One percentage a month for a whole controller.
#pragma once

#include <vector>

#include "lookup/demand/plan.hpp"

namespace thirstline {

/// From zones whose months, base runs and peaks are known. The greatest share of any zone leads in
/// each month, so that no zone gets too little; what the others get too much is told.
[[nodiscard]] ControllerCurve controller_curve(const std::vector<ZonePlan>& zones);

}  // namespace thirstline
