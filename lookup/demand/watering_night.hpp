// How long one watering day really takes when several zones share one window and one flow.
#pragma once

#include <vector>

#include "lookup/demand/cycle_and_soak.hpp"

namespace thirstline {

/// Minutes from the first valve's opening to the last one's closing. One valve is open at a time;
/// the turn goes round the zones in the order given, each running one cycle, passing over those
/// that still soak; if all soak, the first to be ready runs next. The soak after a zone's last
/// cycle counts for nothing.
[[nodiscard]] double night_minutes(const std::vector<Cycles>& zones);

}  // namespace thirstline
