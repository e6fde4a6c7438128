// Measures the accuracy of a build's look-ups at stations that were not used for it.
//
// Each scored station is left out with everything within a given distance, from any source, and
// with its fold or its country. The lattice's points around it are then computed as in a build,
// stored as the integers of a tile, and evaluated by the look-up's own arithmetic: interpolated,
// and adjusted to the station's elevation by the tile's gradients. The site correction is off,
// because stations measure actual conditions. The covariances and error factors remain those of all
// stations: a few numbers from thousands.
//
// eto_own_temperature is not looked up but computed at the station itself, because a file does not
// contain its drivers.
//
// Thread safety: one evaluation at a time in a process (GDAL's block cache is the process's).
#pragma once

#include <atomic>
#include <cstdint>
#include <string>
#include <vector>

#include "builder/evaluation/elevation_scores.hpp"
#include "builder/evaluation/scores.hpp"
#include "builder/evaluation/tails.hpp"
#include "builder/progress/progress.hpp"
#include "builder/progress/stage_clock.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct EvaluationOptions {
    int folds = 0;  ///< 2 or more: stations of the same fold are left out together; 0: no folds
    double leave_out_km = 15.0;
    std::string leave_out_country;  ///< only its stations are scored, left out together; empty: no
                                    ///< country
    std::string holdout;            ///< a table of stations to score (holdout_table.hpp), or empty
    int jobs = 1;                   ///< threads that compute; 1 or more
    const std::atomic<bool>* interrupted = nullptr;
};

struct Evaluation {
    std::vector<Score> scores;
    std::vector<ElevationScore> elevation_scores;
    std::vector<TailScore> tails;
    // Sites whose adjusted rain is not within a factor of four of the stations around, among those
    // that can be compared (tails.hpp).
    std::int64_t adjusted_rain_compared = 0;
    std::int64_t adjusted_rain_outliers = 0;
    std::int64_t stations = 0;       ///< number scored
    std::vector<SourceFile> inputs;  ///< every file that a build of the recipe reads
    std::string holdout_sha256;      ///< of the table of stations; empty if there is none
    double eto_error_factor = 1.0;
    std::vector<std::string> warnings;
    std::vector<StageFigures> stages;
};

/// Errors: those of reading the recipe's sources; bad_input for a recipe without stations; no_data
/// if there is no station in the country; interrupted.
[[nodiscard]] Result<Evaluation> run_evaluation(const Recipe& recipe,
                                                const EvaluationOptions& options,
                                                Progress& progress);

/// Fold of each station, 0 to folds − 1, of nearly equal sizes: a fixed shuffle.
[[nodiscard]] std::vector<int> folds_of(std::size_t stations, int folds);

}  // namespace thirstline
