// How much of a month's rain the plants can use.
//
// Depths are mm per month. The USDA-SCS equation itself is in schema/lawn, which the builder uses
// too.
#pragma once

#include "lookup/demand/climate.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/lawn/scs_effective_rain.hpp"

namespace thirstline {

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
