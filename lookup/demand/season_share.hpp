// The part of each month in which the system is charged.
#pragma once

#include <optional>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/controller.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// A month with a mean daily minimum at or below this has frost on most nights: the system is shut
/// off and drained. Our own rule.
inline constexpr double kShutOffMinimumC = 0.0;

/// Share of each month's days between start and stop, both included, over the end of the year if
/// the stop comes first. Without a season, 0 in months with a mean daily minimum at or below
/// kShutOffMinimumC, otherwise 1 (also if it is unknown).
[[nodiscard]] Monthly<double> season_share(const std::optional<Season>& season,
                                           const SiteClimate& climate);

}  // namespace thirstline
