// The worst errors, which a mean error hides, and their sites.
//
// Rain and ETo are judged by the error relative to the observed value, if that is at least 10 mm in
// the month or 0.5 mm/day; temperatures by the error in °C. A site-month is wrong by more than a
// factor of two if the answer is more than twice or less than half of the observed value.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "builder/evaluation/elevation_scores.hpp"
#include "builder/evaluation/scores.hpp"

namespace thirstline {

inline constexpr std::size_t kWorstSites = 20;

/// A site with its year: sums of rain in mm; means of the others in their unit.
struct WorstSite {
    std::string name;
    std::string country;
    LatLon position;
    double elevation_m = 0.0;
    double rise_m = 0.0;  ///< above the lattice's points
    double observed = 0.0;
    double fused = 0.0;
    double background = 0.0;
    double nearest = 0.0;  ///< of the nearest station that is not left out
    double nearest_km = 0.0;
    double neighbours = 0.0;  ///< mean of the twelve nearest, by the inverse square of distance
    double error = 0.0;  ///< sum of the months' absolute errors over observed; temperatures: mean
};

struct TailScore {
    ScoredVariable variable = ScoredVariable::rain;
    std::int64_t n = 0;     ///< site-months judged
    double error_95 = 0.0;  ///< 95 % of the errors are less
    double error_99 = 0.0;
    double share_off_by_two = kUnknown;  ///< NaN for temperatures
    struct OfRise {
        std::int64_t n = 0;
        double error_95 = kUnknown;
        double share_off_by_two = kUnknown;
    };
    std::array<OfRise, kRiseClasses> by_rise{};
    std::vector<WorstSite> worst;  ///< the worst first, at most kWorstSites
};

/// For the variables that a look-up answers.
[[nodiscard]] std::vector<TailScore> tail_scores_of(const std::vector<ScoredStation>& stations);

/// Sites, by index, whose year of rain, adjusted to their elevation, is less than a quarter or
/// more than four times the mean of the scored stations within 100 km and 500 m of their elevation.
struct AdjustedRain {
    std::int64_t judged = 0;  ///< sites with such stations
    std::vector<std::size_t> beyond;
};
[[nodiscard]] AdjustedRain adjusted_rain_of(const std::vector<ScoredStation>& stations);

}  // namespace thirstline
