// What telling a look-up the site's elevation is worth: left-out stations answered with theirs and
// without, by how far they stand above or below the lattice's points.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "builder/evaluation/scores.hpp"

namespace thirstline {

/// Station less the points' interpolated elevation.
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
    std::int64_t n = 0;  ///< months answered both ways
    double observed_mean = 0.0;
    double mae_with = 0.0;  ///< the elevation told
    double mae_without = 0.0;
    double bias_with = 0.0;  ///< estimate less observed
    double bias_without = 0.0;
    double coverage_90 =
        0.0;  ///< of the 90 % interval, the elevation told; NaN where there is none
};

/// Of the variables that a look-up shifts; combinations without a month are left out.
[[nodiscard]] std::vector<ElevationScore> elevation_scores_of(
    const std::vector<ScoredStation>& stations);

}  // namespace thirstline
