// Pressure and moisture of the air. FAO Irrigation and Drainage Paper 56 (1998), chapter 3.
//
// Temperatures in °C, pressures in kPa, elevations in metres above sea level. NaN in gives NaN out.
#pragma once

#include <cmath>

namespace thirstline {

/// Mean atmospheric pressure at an elevation. FAO-56 eq. 7.
[[nodiscard]] inline double pressure_kpa(double elevation_m) {
    return 101.3 * std::pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26);
}

/// γ, kPa/°C. FAO-56 eq. 8.
[[nodiscard]] inline double psychrometric_constant_kpa_per_c(double air_pressure_kpa) {
    return 0.665e-3 * air_pressure_kpa;
}

/// e°(T), saturation vapour pressure over water. FAO-56 eq. 11 (Tetens).
[[nodiscard]] inline double saturation_vapour_pressure_kpa(double temperature_c) {
    return 0.6108 * std::exp(17.27 * temperature_c / (temperature_c + 237.3));
}

/// Δ, slope of the saturation curve at a temperature, kPa/°C. FAO-56 eq. 13.
[[nodiscard]] inline double saturation_slope_kpa_per_c(double temperature_c) {
    const double t = temperature_c + 237.3;
    return 4098.0 * saturation_vapour_pressure_kpa(temperature_c) / (t * t);
}

/// es, the mean of the saturation pressures at the day's extremes (not the pressure at the mean
/// temperature, which is smaller). FAO-56 eq. 12.
[[nodiscard]] inline double mean_saturation_vapour_pressure_kpa(double tmax_c, double tmin_c) {
    return (saturation_vapour_pressure_kpa(tmax_c) + saturation_vapour_pressure_kpa(tmin_c)) / 2.0;
}

/// ea from the dew point. FAO-56 eq. 14.
[[nodiscard]] inline double vapour_pressure_from_dew_point_kpa(double dew_point_c) {
    return saturation_vapour_pressure_kpa(dew_point_c);
}

/// ea from the maximum and minimum relative humidity of the day, percent. FAO-56 eq. 17.
[[nodiscard]] inline double vapour_pressure_from_rh_extremes_kpa(double tmax_c, double tmin_c,
                                                                 double rh_max_percent,
                                                                 double rh_min_percent) {
    return (saturation_vapour_pressure_kpa(tmin_c) * rh_max_percent +
            saturation_vapour_pressure_kpa(tmax_c) * rh_min_percent) /
           200.0;
}

/// ea from the mean relative humidity, percent, as RH · e°(Tmean): humid hours are the cool ones.
[[nodiscard]] inline double vapour_pressure_from_rh_mean_kpa(double tmean_c,
                                                             double rh_mean_percent) {
    return saturation_vapour_pressure_kpa(tmean_c) * rh_mean_percent / 100.0;
}

/// Dew point of a vapour pressure: the inverse of eq. 11. Pressures below 1e-5 kPa, drier than any
/// air on Earth, count as 1e-5, so that the result is finite (at least −93.5 °C).
[[nodiscard]] inline double dew_point_c(double vapour_pressure_kpa) {
    // This comparison preserves NaN.
    const double ea = vapour_pressure_kpa < 1e-5 ? 1e-5 : vapour_pressure_kpa;
    const double ratio = std::log(ea / 0.6108);
    return 237.3 * ratio / (17.27 - ratio);
}

/// es − ea, never negative: monthly means of vapour pressure may exceed the mean saturation
/// pressure.
[[nodiscard]] inline double vapour_pressure_deficit_kpa(double saturation_kpa,
                                                        double vapour_pressure_kpa) {
    const double deficit = saturation_kpa - vapour_pressure_kpa;
    return deficit < 0.0 ? 0.0 : deficit;
}

}  // namespace thirstline
