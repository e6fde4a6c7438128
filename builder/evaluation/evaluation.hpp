// How well a build's look-ups answer at stations that took no part in it.
//
// Each scored station is left out with all that lies within a distance of it, whatever the source,
// and with its fold or its country. The lattice's points around it are then computed as a build
// would, held as the integers of a tile, and answered from by the look-up's own arithmetic:
// interpolated, and shifted to the station's elevation by the tile's gradients. The site correction
// is off, since stations measure what is as it is. The covariances and error factors stay those
// that all stations gave: a few numbers from thousands.
//
// Not looked up but computed at the station itself: eto_own_temperature, for no file holds its
// drivers.
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
    int folds = 0;  ///< 2 or more: stations of the same fold are left out together; 0: none
    double leave_out_km = 15.0;
    std::string leave_out_country;  ///< scored alone, its stations left out together; empty: none
    std::string holdout;            ///< a table of stations to score (holdout_table.hpp), or empty
    int jobs = 1;                   ///< threads that compute; 1 or more
    const std::atomic<bool>* interrupted = nullptr;
};

struct Evaluation {
    std::vector<Score> scores;
    std::vector<ElevationScore> elevation_scores;
    std::vector<TailScore> tails;
    // Sites whose carried rain could be, and is not, within a factor of four of the stations around
    // (tails.hpp).
    std::int64_t carried_rain_judged = 0;
    std::int64_t carried_rain_beyond = 0;
    std::int64_t stations = 0;  ///< that were scored
    double eto_error_factor = 1.0;
    std::vector<std::string> warnings;
    std::vector<StageFigures> stages;
};

/// Errors: those of reading the recipe's sources; bad_input for a recipe without stations; no_data
/// where no station is in the country; interrupted.
[[nodiscard]] Result<Evaluation> run_evaluation(const Recipe& recipe,
                                                const EvaluationOptions& options,
                                                Progress& progress);

/// Fold of each of so many stations, 0 to folds − 1, of nearly equal sizes: a fixed shuffle.
[[nodiscard]] std::vector<int> folds_of(std::size_t stations, int folds);

}  // namespace thirstline
