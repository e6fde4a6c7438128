// How much of a month's rain the plants can use.
//
// Depths are mm per month. The USDA-SCS equation is defined in inches and is converted here only.
#pragma once

#include "lookup/demand/climate.hpp"
#include "lookup/demand/zone.hpp"

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

/// 0.6 P − 10 up to 70 mm a month, 0.8 P − 24 above; never negative. FAO's Land and Water Division,
/// from memory: the rain exceeded in four years of five, less its losses. Also limited to the need.
[[nodiscard]] double dependable_rain_mm(double rain_mm, double need_mm);

/// Mean temperature at and below which precipitation is assumed to be snow and ice, and not
/// effective.
inline constexpr double kFrozenBelowC = 0.0;

/// By a zone's rule. `credited_share`, 0 to 1, is the part of the half that RainRule::half credits;
/// the other rules ignore it. None if rain is unknown or the month is frozen. By the USDA-SCS
/// rules, at most rain days × usable storage if rain days are known: rain beyond that on one day
/// drains away.
[[nodiscard]] double effective_rain_mm(const MonthClimate& month, double need_mm,
                                       const RainCredit& credit, double usable_storage_mm,
                                       double credited_share = 1.0);

}  // namespace thirstline
