// The mean daily maximum and minimum of temperature from the forms in which sources state them. °C;
// NaN is unknown.
#pragma once

#include <cmath>

namespace thirstline {

struct TemperatureExtremes {
    double tmax_c = 0.0;
    double tmin_c = 0.0;
    bool is_mean_used = false;
    bool is_range_used = false;
};

/// The two as given, or completed by the range, Tmax − Tmin, which is exact, or else by the mean,
/// taken as (Tmax + Tmin) / 2. With neither extreme both come from the mean and the range.
[[nodiscard]] inline TemperatureExtremes completed_extremes(double tmax_c, double tmin_c,
                                                            double tmean_c, double range_c) {
    TemperatureExtremes of{tmax_c, tmin_c};
    const bool lacks_tmax = std::isnan(tmax_c);
    const bool lacks_tmin = std::isnan(tmin_c);
    if (lacks_tmax && lacks_tmin) {
        of.tmax_c = tmean_c + range_c / 2.0;
        of.tmin_c = tmean_c - range_c / 2.0;
        of.is_mean_used = of.is_range_used = !std::isnan(of.tmax_c);
    } else if (lacks_tmax || lacks_tmin) {
        of.is_range_used = !std::isnan(range_c);
        of.is_mean_used = !of.is_range_used && !std::isnan(tmean_c);
        if (lacks_tmax) of.tmax_c = of.is_range_used ? tmin_c + range_c : 2.0 * tmean_c - tmin_c;
        if (lacks_tmin) of.tmin_c = of.is_range_used ? tmax_c - range_c : 2.0 * tmean_c - tmax_c;
    }
    return of;
}

}  // namespace thirstline
