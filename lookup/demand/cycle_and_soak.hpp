// Cycles short enough to avoid run-off, with soak time between them.
#pragma once

#include <cmath>
#include <optional>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {

/// The soil properties that determine run-off.
struct SoilSurface {
    double intake_mm_per_h = 0.0;
    double storage_mm = 0.0;
};

/// 60 · S / (PR − I): minutes until the surface storage is full; empty if the soil takes in all
/// water applied. A volume balance, as used in the industry's test protocols (from memory).
[[nodiscard]] inline std::optional<double> longest_cycle_minutes(SoilSurface soil,
                                                                 double rate_mm_per_h) {
    const double excess_mm_per_h = rate_mm_per_h - soil.intake_mm_per_h;
    if (excess_mm_per_h <= 0.0) return std::nullopt;
    return kMinutesPerHour * soil.storage_mm / excess_mm_per_h;
}

/// 60 · S / I: minutes in which a full surface storage infiltrates.
[[nodiscard]] constexpr double least_soak_minutes(SoilSurface soil) {
    return kMinutesPerHour * soil.storage_mm / soil.intake_mm_per_h;
}

/// Equal cycles that share a day's minutes.
struct Cycles {
    int count = 0;
    double minutes_each = 0.0;
    double soak_minutes = 0.0;  ///< 0 for a single cycle
};

/// The same on a clock of whole minutes: each cycle ends on a whole minute.
[[nodiscard]] inline Cycles in_clock_minutes(Cycles cycles) {
    cycles.minutes_each = std::ceil(cycles.minutes_each - 1e-9);
    cycles.soak_minutes = std::ceil(cycles.soak_minutes - 1e-9);
    return cycles;
}

/// Limits on the runs of a watering day, as set on the controller.
struct RunLimits {
    std::optional<double> longest_cycle_minutes;  ///< before run-off
    double soak_minutes = 0.0;
    double minute_step = 1.0;  ///< above 0: cycles are multiples of it
    std::optional<int> max_cycles;
    double most_minutes = 0.0;  ///< of the day, not to be exceeded
};

/// Minimum number of equal cycles within the limit, not rounded; no cycles for 0 minutes.
[[nodiscard]] inline Cycles cycles_of(double minutes_a_day, std::optional<double> longest_minutes,
                                      double soak_minutes) {
    if (minutes_a_day <= 0.0) return {};
    // The tolerance keeps a run of exactly two limits at two cycles.
    const double needed =
        longest_minutes ? std::ceil(minutes_a_day / *longest_minutes - 1e-9) : 1.0;
    const int count = needed < 1.0 ? 1 : static_cast<int>(needed);
    return {count, minutes_a_day / count, count > 1 ? soak_minutes : 0.0};
}

/// Cycles in whole steps of the controller whose sum is closest to `minutes_a_day`: at least
/// `least_share` of it if the limits allow that, otherwise as much as they allow. Each additional
/// cycle must gain more than 5 %. If one step already exceeds the run-off limit, cycles are one
/// step long. No cycles if not even one step fits.
[[nodiscard]] Cycles keyed_cycles(double minutes_a_day, const RunLimits& limits,
                                  double least_share);

}  // namespace thirstline
