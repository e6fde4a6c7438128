// Reference evapotranspiration from temperature alone.
#pragma once

#include <cmath>

namespace thirstline {

/// ETo of the short reference, mm/day, never negative. Hargreaves & Samani 1985 as FAO-56 eq. 52.
/// Ra in MJ m⁻² d⁻¹: the equation needs it as depth of water, hence the factor 0.408 (without it,
/// 5.0 mm/day becomes 12.3).
[[nodiscard]] inline double hargreaves_eto_mm_per_day(double tmax_c, double tmin_c,
                                                      double ra_mj_m2_day) {
    const double tmean_c = (tmax_c + tmin_c) / 2.0;
    const double range_c = tmax_c - tmin_c;
    if (range_c < 0.0 || tmean_c < -17.8) return 0.0;
    return 0.0023 * (tmean_c + 17.8) * std::sqrt(range_c) * 0.408 * ra_mj_m2_day;
}

}  // namespace thirstline
