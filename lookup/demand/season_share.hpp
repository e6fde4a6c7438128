// The part of each month on which the system is charged.
#pragma once

#include <optional>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/controller.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// A month whose mean daily minimum is at or below this has frost on most nights: the system is
/// shut off and drained. Our own rule.
inline constexpr double kShutOffMinimumC = 0.0;

/// Share of each month's days between start and stop, both counted, over the end of the year where
/// the stop comes first; without a season, 0 in months whose mean daily minimum is at or below
/// kShutOffMinimumC, else 1 (also where it is unknown).
[[nodiscard]] Monthly<double> season_share(const std::optional<Season>& season,
                                           const SiteClimate& climate);

}  // namespace thirstline
