// What the root zone keeps for the plants, and for how long. FAO Irrigation and Drainage Paper 56,
// chapter 8 (total and readily available water), with the allowed depletion as a share.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace thirstline {

/// All that roots can draw, from field capacity to wilting.
[[nodiscard]] constexpr double root_zone_water_mm(double available_water_mm_per_m,
                                                  double root_depth_mm) {
    return available_water_mm_per_m * root_depth_mm / 1000.0;
}

/// D: what may be drawn before the next watering.
[[nodiscard]] constexpr double usable_storage_mm(double root_zone_mm, double allowed_depletion) {
    return root_zone_mm * allowed_depletion;
}

/// Whole days that the usable storage lasts without any rain: at least 0; empty without need.
[[nodiscard]] inline std::optional<int> longest_interval_days(double storage_mm,
                                                              double need_mm_per_day) {
    if (need_mm_per_day <= 0.0) return std::nullopt;
    // A year's end to the count, so that a trace of need cannot overflow it.
    return static_cast<int>(std::floor(std::min(storage_mm / need_mm_per_day + 1e-9, 366.0)));
}

/// Depletion at which plants take up half of what they could: midway between the allowed depletion
/// and wilting. FAO-56, eq. 84: Ks = (TAW - Dr) / (TAW - RAW) = 1/2. They grow slower, but live.
[[nodiscard]] constexpr double half_stress_depletion_mm(double storage_mm, double root_zone_mm) {
    return (storage_mm + root_zone_mm) / 2.0;
}

/// Whole days between waterings where the rain that was credited is counted on: until the usable
/// storage is spent at the net need, but no longer than a wait without any rain takes from full
/// soil to the depletion of half stress. At least longest_interval_days; empty without need.
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

/// What rain sensors can be set to: 1/8, 1/4, 1/2, 3/4 and 1 in, in whole mm (from memory).
inline constexpr std::array<int, 5> kRainSensorStepsMm{3, 6, 13, 19, 25};

/// The sensor step at which rain should stop the watering: half the usable storage, since between
/// waterings the soil is on average half drawn down, so that this much rain fills it, rounded down;
/// at least the least step. Our own rule.
[[nodiscard]] inline int rain_shutoff_mm(double storage_mm) {
    int step_mm = kRainSensorStepsMm.front();
    for (const int step : kRainSensorStepsMm)
        if (step <= storage_mm / 2.0) step_mm = step;
    return step_mm;
}

}  // namespace thirstline
