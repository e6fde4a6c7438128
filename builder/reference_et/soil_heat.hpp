// Heat flux into the soil over a month. FAO Irrigation and Drainage Paper 56 (1998), chapter 3.
#pragma once

#include <cmath>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// G of a month, MJ m⁻² d⁻¹, positive while the soil warms, from the mean temperatures of a cyclic
/// year (December precedes January). NaN is an unknown month.
///
/// If both neighbours are known: FAO-56 eq. 43. Only the month before: eq. 44. Only the month
/// after: eq. 44 applied forward. Neither, or one neighbour without the month itself: 0, its mean
/// over a year.
[[nodiscard]] inline double soil_heat_flux_mj_m2_day(const Monthly<double>& tmean_c, int month) {
    const double before = tmean_c[previous_month(month)];
    const double now = tmean_c[month];
    const double after = tmean_c[next_month(month)];
    const bool has_before = std::isfinite(before);
    const bool has_after = std::isfinite(after);
    if (has_before && has_after) return 0.07 * (after - before);
    if (!std::isfinite(now)) return 0.0;
    if (has_before) return 0.14 * (now - before);
    if (has_after) return 0.14 * (after - now);
    return 0.0;
}

}  // namespace thirstline
