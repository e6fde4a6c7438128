#include "builder/reference_et/site_correction.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

double two_month_rain_mm(const Monthly<double>& rain_mm, int month) {
    return rain_mm[month] + rain_mm[previous_month(month)];
}

double two_month_eto_mm(const Monthly<double>& eto_mm_per_day, int month) {
    const int last = previous_month(month);
    return eto_mm_per_day[month] * kDaysInMonth[month] + eto_mm_per_day[last] * kDaysInMonth[last];
}

double dryness_weight(double rain_mm, double eto_mm) {
    if (std::isnan(rain_mm) || !(eto_mm > 0.0)) return 0.0;
    return std::clamp(1.0 - rain_mm / eto_mm, 0.0, 1.0);
}

double site_shift_c(double tmean_c, double tmin_c, double dew_point_c, double dryness_weight) {
    if (tmean_c < kMinTmeanForShiftC) return 0.0;
    const double uncapped = (tmin_c - dew_point_c - kWellWateredDepressionC) / 2.0;
    return dryness_weight * std::clamp(uncapped, 0.0, kGreatestShiftC);
}

}  // namespace thirstline
