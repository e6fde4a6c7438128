// From estimates and truths to scores: error, bias, coverage, width and interval score, by
// variable, region, month, distance and estimator.
//
// The 90 % interval of x is x ± 1.645 standard errors, the 50 % one x ± 0.674; below 0 they are cut
// off where the variable cannot be negative. The background's interval is the constant one that
// holds 90 % of all its errors of that variable. The interval score is that of Gneiting & Raftery
// (2007, J. Am. Stat. Assoc. 102, 359) of the 90 % interval: its width, and 20 times by how much
// the truth lies outside.
//
// What a look-up cannot answer is a miss of `fused`; the other estimators are scored where it
// answers, so that all scores of one line are of the same months.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "builder/evaluation/regions.hpp"
#include "builder/evaluation/scored_variables.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// One left-out station: its truth, and what each estimator says of it.
struct ScoredStation {
    LatLon position;
    double elevation_m = kUnknown;
    std::string name;
    std::string country;
    ScoredYear observed = unknown_scored_year();
    std::array<ScoredYear, kEstimators> estimates = {unknown_scored_year(), unknown_scored_year(),
                                                     unknown_scored_year(), unknown_scored_year(),
                                                     unknown_scored_year()};
    /// Of `fused`; NaN where a file holds none.
    ScoredYear standard_error = unknown_scored_year();
    ByVariable<double> nearest_km{};
    /// What `fused` would be had the look-up not been told the station's elevation.
    ScoredYear without_elevation = unknown_scored_year();
    double rise_m = kUnknown;  ///< station less the points' elevation
};

/// How the lattice's points fall into the classes of distance, as counts.
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
    double bias = 0.0;  ///< estimate less observed
    double observed_mean = 0.0;
    // NaN where there is no interval.
    double coverage_50 = 0.0;
    double coverage_90 = 0.0;
    double interval_score = 0.0;
    double mean_width = 0.0;  ///< of the 90 % interval
};

/// Combinations without a single station are left out.
[[nodiscard]] std::vector<Score> scores_of(const std::vector<ScoredStation>& stations,
                                           const LatticeClasses& lattice);

/// Null where there is none.
[[nodiscard]] const Score* score_of(const std::vector<Score>& scores, ScoredVariable variable,
                                    Region region, int month, DistanceClass distance,
                                    Estimator estimator);

}  // namespace thirstline
