// Converts the plants' deficit to the depth to apply, and computes precipitation rates.
//
// Depths in mm, rates in mm/h; one litre per square metre is one millimetre.
#pragma once

#include <algorithm>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {

/// Net irrigation requirement of a month.
[[nodiscard]] constexpr double net_requirement_mm(double need_mm, double effective_rain_mm) {
    return std::max(0.0, need_mm - effective_rain_mm);
}

/// 1 / (0.4 + 0.6 DU): run-time multiplier for a lower-quarter distribution uniformity, above 0 to
/// 1. Irrigation industry, from memory. Never used together with an efficiency.
[[nodiscard]] constexpr double scheduling_multiplier(double lowest_quarter_uniformity) {
    return 1.0 / (0.4 + 0.6 * lowest_quarter_uniformity);
}

/// LR = ECw / (5 ECe − ECw), both in dS/m: the share of the water that must drain below the roots.
/// FAO Irrigation and Drainage Paper 29, from memory. Requires ECw < 5 ECe.
[[nodiscard]] constexpr double leaching_requirement(double water_ec_ds_per_m,
                                                    double tolerated_ec_ds_per_m) {
    return water_ec_ds_per_m / (5.0 * tolerated_ec_ds_per_m - water_ec_ds_per_m);
}

/// Exact: l/min over m². In US units 96.25 · gpm / ft² inches per hour, and for drip 1.604 · gal/h
/// / ft² of wetted area (231 cubic inches per gallon).
[[nodiscard]] constexpr double precipitation_rate_mm_per_h(double flow_l_per_min, double area_m2) {
    return flow_l_per_min * kMinutesPerHour / area_m2;
}
[[nodiscard]] constexpr double zone_flow_l_per_min(double rate_mm_per_h, double area_m2) {
    return rate_mm_per_h * area_m2 / kMinutesPerHour;
}

/// Exact: the time that a depth takes, and the depth that a time applies.
[[nodiscard]] constexpr double run_minutes(double gross_mm, double rate_mm_per_h) {
    return kMinutesPerHour * gross_mm / rate_mm_per_h;
}
[[nodiscard]] constexpr double applied_depth_mm(double minutes, double rate_mm_per_h) {
    return minutes * rate_mm_per_h / kMinutesPerHour;
}

}  // namespace thirstline
