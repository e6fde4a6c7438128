// Do a field's standard errors hold? Asked of its own stations, each left out with its
// neighbourhood.
#pragma once

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// With fewer stations an error factor would be chance.
inline constexpr std::size_t kMinToCalibrate = 50;

/// The factor by which the standard errors must be multiplied so that 90 % of left-out stations lie
/// within 1.645 of them, the stations within 15 km left out too; 1 with fewer than fifty stations.
[[nodiscard]] double left_out_error_factor(const ResidualField& field);

}  // namespace thirstline
