// The water that the root zone stores for the plants, and how long it lasts. FAO Irrigation and
// Drainage Paper 56, chapter 8 (total and readily available water), with the allowed depletion as a
// share.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace thirstline {

/// Total available water: all that roots can use, from field capacity to wilting point.
[[nodiscard]] constexpr double root_zone_water_mm(double available_water_mm_per_m,
                                                  double root_depth_mm) {
    return available_water_mm_per_m * root_depth_mm / 1000.0;
}

/// D: the depth that may be depleted before the next watering.
[[nodiscard]] constexpr double usable_storage_mm(double root_zone_mm, double allowed_depletion) {
    return root_zone_mm * allowed_depletion;
}

/// Whole days that the usable storage lasts without rain: at least 0; empty if there is no need.
[[nodiscard]] inline std::optional<int> longest_interval_days(double storage_mm,
                                                              double need_mm_per_day) {
    if (need_mm_per_day <= 0.0) return std::nullopt;
    // Limited to a year, so that a very small need cannot overflow the count.
    return static_cast<int>(std::floor(std::min(storage_mm / need_mm_per_day + 1e-9, 366.0)));
}

/// Depletion at which plants use half of their potential: midway between the allowed depletion and
/// the wilting point. FAO-56, eq. 84: Ks = (TAW - Dr) / (TAW - RAW) = 1/2. Growth is slower, but
/// the plants survive.
[[nodiscard]] constexpr double half_stress_depletion_mm(double storage_mm, double root_zone_mm) {
    return (storage_mm + root_zone_mm) / 2.0;
}

/// Whole days between waterings if the credited rain falls: until the usable storage is used up at
/// the net need, but at most the time without rain from full soil to the depletion of half stress.
/// At least longest_interval_days; empty if there is no need.
[[nodiscard]] inline std::optional<int> longest_wait_with_rain_days(double storage_mm,
                                                                    double root_zone_mm,
                                                                    double need_mm_per_day,
                                                                    double net_mm_per_day) {
    const auto dry =
        longest_interval_days(half_stress_depletion_mm(storage_mm, root_zone_mm), need_mm_per_day);
    const auto with_rain = longest_interval_days(storage_mm, net_mm_per_day);
    if (!dry || !with_rain) return dry;
    return std::min(*dry, *with_rain);
}

/// Settings of rain sensors: 1/8, 1/4, 1/2, 3/4 and 1 in, in whole mm (from memory).
inline constexpr std::array<int, 5> kRainSensorStepsMm{3, 6, 13, 19, 25};

/// The sensor step at which rain should stop the watering: half the usable storage, rounded down,
/// because between waterings the soil is on average half depleted and this much rain fills it; at
/// least the lowest step. Our own rule.
[[nodiscard]] inline int rain_shutoff_mm(double storage_mm) {
    int step_mm = kRainSensorStepsMm.front();
    for (const int step : kRainSensorStepsMm)
        if (step <= storage_mm / 2.0) step_mm = step;
    return step_mm;
}

}  // namespace thirstline
