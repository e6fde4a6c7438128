// Adjusts the weather of a dry station to that of the reference surface.
//
// Reference ET is defined for air over a large, well-watered surface. Most stations are at airports
// and in dry fields, where the air is hotter and drier.
//
// From FAO-56 Annex 6 (second hand, partly from memory): if ΔT = Tmin − Tdew exceeds Ko = 2 °C, the
// station is not well watered; (ΔT − Ko)/2 is subtracted from Tmax and Tmin and added to Tdew. Our
// own tuning, tested on dry US sites: the limit of 3 °C (without it deserts lose a third of their
// ETo), the weight by dryness and the threshold of Tmean 5 °C (without them the correction acts in
// wet and frozen months, when no surface is short of water).
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

/// °C to subtract from Tmax and Tmin and to add to Tdew: weight · min((ΔT − Ko)/2, 3 °C), never
/// negative, 0 if Tmean is below 5 °C.
[[nodiscard]] double site_shift_c(double tmean_c, double tmin_c, double dew_point_c,
                                  double dryness_weight);

}  // namespace thirstline
