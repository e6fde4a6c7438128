// How much of a month's rain the plants can use.
//
// Depths in mm of the month. The USDA-SCS equation is defined in inches; it is turned here once.
#pragma once

#include "lookup/demand/climate.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

/// SF = 0.531747 + 0.295164 D − 0.057697 D² + 0.003804 D³, D in inches of usable soil storage.
/// USDA-SCS Technical Release 21; National Engineering Handbook part 623, chapter 2. The cubic
/// bends up beyond the storages it was fitted to: D counts as 7 in above that. Small storages, as a
/// lawn's, are left as they are.
[[nodiscard]] double scs_storage_factor(double usable_storage_mm);

/// Pe = SF (0.70917 P^0.82416 − 0.11556) 10^(0.02426 ETc), all in inches; the same publications.
/// Held to 0 ≤ Pe ≤ min(P, ETc).
[[nodiscard]] double scs_effective_rain_mm(double rain_mm, double need_mm,
                                           double usable_storage_mm);

/// 0.6 P − 10 up to 70 mm a month, 0.8 P − 24 above; never negative. FAO's Land and Water Division,
/// from memory: the rain to be had in four years of five, less its losses. Held to the need too.
[[nodiscard]] double dependable_rain_mm(double rain_mm, double need_mm);

/// Mean temperature at and below which rain is taken as snow and ice, and none as effective.
inline constexpr double kFrozenBelowC = 0.0;

/// By a zone's rule. `credited_share`, 0 to 1, is what RainRule::half credits of the half; the
/// other rules take no notice of it. None where rain is unknown or the month frozen. By the
/// USDA-SCS rules, at most rain days × usable storage where rain days are known: a day's rain
/// beyond that drains away.
[[nodiscard]] double effective_rain_mm(const MonthClimate& month, double need_mm,
                                       const RainCredit& credit, double usable_storage_mm,
                                       double credited_share = 1.0);

}  // namespace thirstline
