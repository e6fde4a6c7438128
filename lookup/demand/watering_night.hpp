// How long one watering day really takes when several zones share one window and one flow.
#pragma once

#include <vector>

#include "lookup/demand/cycle_and_soak.hpp"

namespace thirstline {

/// Minutes from the first valve's opening to the last one's closing, one valve open at a time: the
/// shorter of two orders. In one the turn goes round the zones as given, each running one cycle,
/// passing over those that still soak; in the other the zone runs next that needs longest to its
/// end. If all soak, the first to be ready runs. The soak after a zone's last cycle does not count.
[[nodiscard]] double night_minutes(const std::vector<Cycles>& zones);

}  // namespace thirstline
