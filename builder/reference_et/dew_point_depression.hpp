// The difference between Tmin and the dew point where neither the place nor its surroundings have
// humidity data. FAO-56, chapter 3, takes the dew point as equal to Tmin, which is valid only in
// moist places: in dry ones it reduces ETo by 0.5 mm/day.
//
// depression = 9.8 · exp(−r / 0.20) − 0.4 °C, not below 0, with r = rain/ETo over this month and
// the last, ETo by Hargreaves–Samani. This is our own fit to an open 1961–1990 grid (CRU CL 1.0:
// 568,699 land months with Tmean above 0 °C and ETo above 0.5 mm/day, weighted by area), the
// simplest relation of this accuracy:
//
//   error of the depression: root mean square 4.5 °C, mean 2.5 °C, bias +0.1 °C; it explains 36 %
//   of the variance. Exponential fits to annual sums explain 34 %, to sums of this month only 35 %,
//   to both annual and two-month sums 40 %; the temperature range explains 24 %.
//
//   error of Penman–Monteith ETo, mm/day           mean / bias      where r is below 0.3
//     this relation                                0.21 / +0.07     0.28 / +0.08
//     dew point at Tmin                            0.32 / −0.19     0.53 / −0.51
//     a fixed depression of 1.6 °C                 0.33 / +0.00
//
// At 2,441 independent stations (WMO normals 1991–2020) the mean error of the depression is 1.9 °C,
// bias +0.3. On dry coasts it is about 4 °C too large, in dry land above 1500 m about 4 °C too
// small: if a neighbour measures humidity, use its depression.
#pragma once

namespace thirstline {

/// If rain is unknown, too: the fixed depression without bias in the ETo of that grid.
inline constexpr double kDepressionWhereRainUnknownC = 1.6;

/// Tmin − Tdew, °C, 0 to 9.4, from rain and Hargreaves–Samani ETo summed over this month and the
/// last, mm. 0 where ETo is 0; kDepressionWhereRainUnknownC where either is NaN.
[[nodiscard]] double depression_from_aridity_c(double rain_mm, double eto_mm);

}  // namespace thirstline
