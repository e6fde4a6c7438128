// How far the dew point lies below Tmin, where neither the place nor its surroundings measure
// humidity. FAO-56, chapter 3, lets the dew point stand at Tmin, which holds in moist places only:
// in dry ones it takes 0.5 mm/day off ETo.
//
// depression = 9.8 · exp(−r / 0.20) − 0.4 °C, not below 0, with r = rain/ETo over this month and
// the last, ETo by Hargreaves–Samani. This is our own fit to an open 1961–1990 grid (CRU CL 1.0:
// 568,699 land months with Tmean above 0 °C and ETo above 0.5 mm/day, weighted by area), the
// simplest relation of its worth:
//
//   error of the depression: root mean square 4.5 °C, mean 2.5 °C, bias +0.1 °C; it explains 36 %
//   of the variance. Exponential fits to the sums of the year explain 34 %, to those of this month
//   alone 35 %, to both the year's and the two months' 40 %; the temperature range explains 24 %.
//
//   error of Penman–Monteith ETo, mm/day           mean / bias      where r is below 0.3
//     this relation                                0.21 / +0.07     0.28 / +0.08
//     dew point at Tmin                            0.32 / −0.19     0.53 / −0.51
//     a fixed depression of 1.6 °C                 0.33 / +0.00
//
// On 2,441 stations that took no part (WMO normals 1991–2020) the depression errs by 1.9 °C in the
// mean, bias +0.3. On dry coasts it is some 4 °C too great, in dry land above 1500 m some 4 °C too
// small: where a neighbour measures humidity, take its depression.
#pragma once

namespace thirstline {

/// Where rain is unknown too: the fixed depression without bias in the ETo of that grid.
inline constexpr double kDepressionWhereRainUnknownC = 1.6;

/// Tmin − Tdew, °C, 0 to 9.4, from rain and Hargreaves–Samani ETo summed over this month and the
/// last, mm. 0 where ETo is 0; kDepressionWhereRainUnknownC where either is NaN.
[[nodiscard]] double depression_from_aridity_c(double rain_mm, double eto_mm);

}  // namespace thirstline
