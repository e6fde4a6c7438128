// Converts the profile of a look-up to the climate that the demand is computed from.
#pragma once

#include "lookup/demand/climate.hpp"
#include "lookup/site/site_profile.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Mean temperature is (Tmax + Tmin) / 2 where both are known.
/// Errors (no_data): a month without ETo.
[[nodiscard]] Result<SiteClimate> climate_of_profile(const SiteProfile& profile,
                                                     ReferenceCrop reference);

}  // namespace thirstline
