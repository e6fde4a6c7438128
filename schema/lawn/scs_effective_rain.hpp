// The part of a month's rain that plants can use, by the USDA-SCS equation.
//
// Depths are mm per month. The equation is defined in inches and is converted here only. Pure.
#pragma once

namespace thirstline {

/// SF = 0.531747 + 0.295164 D − 0.057697 D² + 0.003804 D³, D in inches of usable soil storage.
/// USDA-SCS Technical Release 21; National Engineering Handbook part 623, chapter 2. The cubic
/// bends upward beyond the storages that it was fitted to, so D is at most 7 in. Small storages,
/// such as a lawn's, are not changed.
[[nodiscard]] double scs_storage_factor(double usable_storage_mm);

/// Pe = SF (0.70917 P^0.82416 − 0.11556) 10^(0.02426 ETc), all in inches; the same publications.
/// Limited to 0 ≤ Pe ≤ min(P, ETc).
[[nodiscard]] double scs_effective_rain_mm(double rain_mm, double need_mm,
                                           double usable_storage_mm);

}  // namespace thirstline
