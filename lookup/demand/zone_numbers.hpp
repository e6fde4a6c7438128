// A zone with every number known: the owner's value, or a default that is listed.
#pragma once

#include <optional>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/climate.hpp"
#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct ZoneNumbers {
    Monthly<double> coefficient{};  ///< on ETo
    Monthly<bool> dormant{};
    double counted_area_m2 = 0.0;       ///< planted
    double rate_mm_per_h = 0.0;         ///< over the planted area
    double wetted_rate_mm_per_h = 0.0;  ///< on the wetted area: the rate that may run off
    double flow_l_per_min = 0.0;
    double gross_per_net = 1.0;
    SoilSurface surface;
    double slope_percent = 0.0;
    double root_zone_mm = 0.0;       ///< as a depth over the planted area
    double usable_storage_mm = 0.0;  ///< as a depth over the planted area
    RainCredit rain_credit;
    std::optional<int> plants;
    Assumptions assumed;
};

/// `zone` and `climate` must have passed their checks.
/// Errors (bad_input): water too salty for the plants, a flow too small or too great for the area,
/// a wetted area larger than the planted area, California's coefficients at another place.
[[nodiscard]] Result<ZoneNumbers> zone_numbers(const Zone& zone, const SiteClimate& climate);

}  // namespace thirstline
