// Global and net radiation at the ground. FAO Irrigation and Drainage Paper 56 (1998), chapter 3.
//
// All radiation in MJ m⁻² d⁻¹. NaN in gives NaN out.
//
// Rs from cloud cover: two published relations, and sunshine taken as 1 − cloud, were tested on
// every land cell and month of an open grid (CRU CL 1.0, 1961–1990, 749,796 values, mean Rs 13.7)
// and on 707 US sites (TMY3, 8,484 values, mean Rs 14.7), mean absolute error / bias in MJ m⁻² d⁻¹:
//
//                                                          CRU CL 1.0      TMY3
//   FAO-24 table of cloudiness to n/N in tenths, eq. 35   0.55 / +0.01   1.12 / +0.09
//   the same table in oktas                               0.56 / −0.36   1.13 / −0.23
//   n/N = 1 − cloud, eq. 35                               1.03 / −0.95   1.35 / −0.82
//   Kasten & Czeplak 1980 on Rso (eq. 37)                 3.90 / +3.89   4.20 / +4.18
//   eq. 50, coefficient 0.16 / 0.175 / 0.19: mean error   1.93 2.73 3.90  1.53 2.12 3.21
//                                            bias        +1.06 +2.44 +3.82  +0.17 +1.56 +2.95
//
// We use the tenths. Kasten & Czeplak fitted hourly values; applied to a monthly mean of cloud,
// such a strongly curved relation gives far too much radiation. The grid's radiation depends on its
// own cloud data and most of the TMY3 radiation is modelled, so the true errors are larger. On the
// grid's coastal cells the error of eq. 50 is smaller with 0.16 (1.56; bias −0.37) than with the
// 0.19 that FAO-56 gives for coasts (2.26; +1.89): half a degree extends far inland.
#pragma once

#include <cmath>

namespace thirstline {

/// Coefficient of eq. 50 inland and on the coast, °C^−0.5. FAO-56, chapter 3.
inline constexpr double kRangeCoefficientInland = 0.16;
inline constexpr double kRangeCoefficientCoastal = 0.19;

/// Albedo of the reference surface. FAO-56 eq. 38.
inline constexpr double kReferenceAlbedo = 0.23;

/// Rs/Rso without sunlight: the middle of the range of eq. 39.
inline constexpr double kRelativeRadiationInDarkness = 0.65;

/// Rs from the fraction of possible sunshine, n/N. Ångström's formula, FAO-56 eq. 35 with 0.25 and
/// 0.50.
[[nodiscard]] inline double rs_from_sunshine_fraction(double sunshine_fraction,
                                                      double ra_mj_m2_day) {
    return (0.25 + 0.50 * sunshine_fraction) * ra_mj_m2_day;
}

/// n/N; 0 if there is no daylight.
[[nodiscard]] inline double sunshine_fraction_of(double sunshine_hours, double daylight_hours) {
    return daylight_hours > 0.0 ? sunshine_hours / daylight_hours : 0.0 * sunshine_hours;
}

/// n/N from cloud cover, 0 to 1 (clamped), by the table of cloudiness in tenths of FAO Irrigation
/// and Drainage Paper 24 (Doorenbos & Pruitt 1977; from memory), interpolated linearly.
[[nodiscard]] double sunshine_fraction_from_cloud(double cloud_fraction);

/// Rs from cloud cover: that table, then eq. 35.
[[nodiscard]] inline double rs_from_cloud(double cloud_fraction, double ra_mj_m2_day) {
    return rs_from_sunshine_fraction(sunshine_fraction_from_cloud(cloud_fraction), ra_mj_m2_day);
}

/// Rs from the daily range of temperature. Hargreaves & Samani, FAO-56 eq. 50. A range below 0
/// counts as 0. The result is not limited to Rso.
[[nodiscard]] inline double rs_from_temperature_range(double tmax_c, double tmin_c,
                                                      double ra_mj_m2_day, double coefficient) {
    const double range_c = tmax_c - tmin_c;
    return coefficient * std::sqrt(range_c < 0.0 ? 0.0 : range_c) * ra_mj_m2_day;
}

/// Rso, Rs under a clear sky. FAO-56 eq. 37.
[[nodiscard]] inline double clear_sky_rs(double elevation_m, double ra_mj_m2_day) {
    return (0.75 + 2e-5 * elevation_m) * ra_mj_m2_day;
}

/// Rns, net short-wave radiation. FAO-56 eq. 38.
[[nodiscard]] inline double net_shortwave(double rs_mj_m2_day) {
    return (1.0 - kReferenceAlbedo) * rs_mj_m2_day;
}

/// Rs/Rso for eq. 39: clamped to 0.3 … 1.0 (ASCE-EWRI 2005), and the middle if Rso is 0.
[[nodiscard]] inline double relative_shortwave(double rs_mj_m2_day, double rso_mj_m2_day) {
    if (!(rso_mj_m2_day > 0.0)) return kRelativeRadiationInDarkness;
    const double ratio = rs_mj_m2_day / rso_mj_m2_day;
    if (ratio < 0.3) return 0.3;
    return ratio > 1.0 ? 1.0 : ratio;
}

/// σT⁴, with the Stefan–Boltzmann constant as in FAO-56.
[[nodiscard]] inline double black_body(double temperature_c) {
    const double kelvin = temperature_c + 273.16;
    const double squared = kelvin * kelvin;
    return 4.903e-9 * squared * squared;
}

/// Rnl, net outgoing long-wave radiation. FAO-56 eq. 39. Rs/Rso is limited to 0.3–1.0 only here.
[[nodiscard]] inline double net_longwave(double tmax_c, double tmin_c, double vapour_pressure_kpa,
                                         double rs_mj_m2_day, double rso_mj_m2_day) {
    const double emission = (black_body(tmax_c) + black_body(tmin_c)) / 2.0;
    const double ea = vapour_pressure_kpa < 0.0 ? 0.0 : vapour_pressure_kpa;
    const double net_emissivity = 0.34 - 0.14 * std::sqrt(ea);
    const double clearness = 1.35 * relative_shortwave(rs_mj_m2_day, rso_mj_m2_day) - 0.35;
    return emission * net_emissivity * clearness;
}

/// Rn. FAO-56 eq. 40.
[[nodiscard]] inline double net_radiation(double rns_mj_m2_day, double rnl_mj_m2_day) {
    return rns_mj_m2_day - rnl_mj_m2_day;
}

}  // namespace thirstline
