// Checks a field's standard errors against its own stations, each left out with its neighbourhood.
#pragma once

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// With fewer stations an error factor would be random.
inline constexpr std::size_t kMinToCalibrate = 50;

/// The factor for the standard errors such that 90 % of left-out stations are within 1.645 of them,
/// with the stations within 15 km left out too; 1 with fewer than fifty stations.
[[nodiscard]] double left_out_error_factor(const ResidualField& field);

}  // namespace thirstline
