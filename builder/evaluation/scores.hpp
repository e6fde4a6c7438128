// Computes scores from estimates and truths: error, bias, coverage, width and interval score, by
// variable, region, month, distance and estimator.
//
// The 90 % interval of x is x ± 1.645 standard errors, the 50 % interval x ± 0.674; they are cut
// off at 0 if the variable cannot be negative. The background's interval is the constant one that
// contains 90 % of all its errors of that variable. The interval score is that of Gneiting &
// Raftery (2007, J. Am. Stat. Assoc. 102, 359) of the 90 % interval: its width, plus 20 times the
// distance of the truth from the interval.
//
// A look-up without an answer is a miss of `fused`; the other estimators are scored only where it
// answers, so that all scores of one line are for the same months.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "builder/evaluation/regions.hpp"
#include "builder/evaluation/scored_variables.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// One left-out station: its truth, and the value of each estimator.
struct ScoredStation {
    LatLon position;
    double elevation_m = kUnknown;
    std::string name;
    std::string country;
    ScoredYear observed = unknown_scored_year();
    std::array<ScoredYear, kEstimators> estimates = {unknown_scored_year(), unknown_scored_year(),
                                                     unknown_scored_year(), unknown_scored_year(),
                                                     unknown_scored_year()};
    /// Of `fused`; NaN if a file has none.
    ScoredYear standard_error = unknown_scored_year();
    ByVariable<double> nearest_km{};
    /// The `fused` value of a look-up without the station's elevation.
    ScoredYear without_elevation = unknown_scored_year();
    double rise_m = kUnknown;  ///< elevation of the station minus that of the points
};

/// Counts of the lattice's points in each distance class.
using PointsByClass = std::array<std::int64_t, kDistanceClasses>;
using LatticeClasses = std::array<ByVariable<PointsByClass>, kRegions>;

struct Score {
    ScoredVariable variable = ScoredVariable::tmax;
    Region region = Region::world;
    int month = 0;  ///< 1 to 12; 0: the year
    DistanceClass distance = DistanceClass::all;
    Estimator estimator = Estimator::fused;
    std::int64_t n = 0;       ///< months that were answered
    std::int64_t misses = 0;  ///< months without an answer
    double mae = 0.0;
    double bias = 0.0;  ///< estimate minus observed
    double observed_mean = 0.0;
    // NaN if there is no interval.
    double coverage_50 = 0.0;
    double coverage_90 = 0.0;
    double interval_score = 0.0;
    double mean_width = 0.0;  ///< of the 90 % interval
};

/// Combinations without a station are omitted.
[[nodiscard]] std::vector<Score> scores_of(const std::vector<ScoredStation>& stations,
                                           const LatticeClasses& lattice);

/// Null if there is none.
[[nodiscard]] const Score* score_of(const std::vector<Score>& scores, ScoredVariable variable,
                                    Region region, int month, DistanceClass distance,
                                    Estimator estimator);

}  // namespace thirstline
