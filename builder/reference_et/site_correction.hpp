// From the weather of a dry station to that of the reference surface.
//
// Reference ET is defined for air over a broad, well-watered surface. Most stations stand at
// airports and in dry fields, where the air is hotter and drier.
//
// From FAO-56 Annex 6 (second hand, partly from memory): where ΔT = Tmin − Tdew exceeds Ko = 2 °C,
// the station is not well watered, and (ΔT − Ko)/2 is taken off Tmax and Tmin and added to Tdew.
// Our own tuning, tried on dry US sites: the cap of 3 °C (without it deserts lose a third of their
// ETo), the weight by dryness and the limit at Tmean 5 °C (without them it acts in wet and frozen
// months, when no surface is short of water).
#pragma once

#include "schema/base/calendar.hpp"

namespace thirstline {

inline constexpr double kWellWateredDepressionC = 2.0;  ///< Ko
inline constexpr double kGreatestShiftC = 3.0;
inline constexpr double kMinTmeanForShiftC = 5.0;

/// Rain or uncorrected short-reference ETo over this month and the last in a cyclic year, mm. NaN
/// if either month is unknown.
[[nodiscard]] double two_month_rain_mm(const Monthly<double>& rain_mm, int month);
[[nodiscard]] double two_month_eto_mm(const Monthly<double>& eto_mm_per_day, int month);

/// w = max(0, 1 − rain/ETo), 0 to 1; 0 where ETo is 0 or either is NaN.
[[nodiscard]] double dryness_weight(double rain_mm, double eto_mm);

/// °C to take off Tmax and Tmin and to add to Tdew: weight · min((ΔT − Ko)/2, 3 °C), never
/// negative, 0 where Tmean is below 5 °C.
[[nodiscard]] double site_shift_c(double tmean_c, double tmin_c, double dew_point_c,
                                  double dryness_weight);

}  // namespace thirstline
