// The benefit of a site's elevation in a look-up: scores of left-out stations with and without
// their elevation, by their height above or below the lattice's points.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "builder/evaluation/scores.hpp"

namespace thirstline {

/// Elevation of the station minus the points' interpolated elevation.
enum class RiseClass {
    below_800,   ///< more than 800 m below
    to_300,      ///< 300 to 800 m below
    level,       ///< within 300 m
    above_300,   ///< 300 to 800 m above
    beyond_800,  ///< more than 800 m above
};
inline constexpr std::size_t kRiseClasses = 5;
[[nodiscard]] RiseClass rise_class_of(double rise_m);
/// Such as "300 to 800 m above".
[[nodiscard]] std::string_view rise_class_name(RiseClass rise);

struct ElevationScore {
    ScoredVariable variable = ScoredVariable::tmax;
    RiseClass rise = RiseClass::level;
    std::int64_t n = 0;  ///< months answered in both cases
    double observed_mean = 0.0;
    double mae_with = 0.0;  ///< with the elevation
    double mae_without = 0.0;
    double bias_with = 0.0;  ///< estimate minus observed
    double bias_without = 0.0;
    double coverage_90 = 0.0;  ///< of the 90 % interval, with the elevation; NaN if there is none
};

/// For the variables that a look-up adjusts; combinations without a month are omitted.
[[nodiscard]] std::vector<ElevationScore> elevation_scores_of(
    const std::vector<ScoredStation>& stations);

}  // namespace thirstline
