// Text styles used in tests.
#pragma once

#include "lookup/site_output/site_text.hpp"

namespace thirstline {

inline constexpr TextStyle kMetric{UnitSystem::metric, true};
inline constexpr TextStyle kInches{UnitSystem::us, true};

}  // namespace thirstline
