// A build from end to end: open the sources, survey, stream the blocks through all cores, and write
// the file or only look at what would be written.
//
// One thread reads and writes, in order; others compute. What comes out depends on the recipe and
// its sources alone, whatever the number of threads.
//
// Thread safety: one build at a time in a process (GDAL's block cache is the process's).
#pragma once

#include <atomic>
#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/pipeline/block_tiles.hpp"
#include "builder/postal/postal_table.hpp"
#include "builder/progress/progress.hpp"
#include "builder/progress/stage_clock.hpp"
#include "builder/recipe/recipe.hpp"
#include "builder/stations/station_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct TileRows {
    int first = 0;  ///< counted from the lattice's southernmost row of tiles
    int end = 0;    ///< excluded
};

struct BuildOptions {
    std::string output;  ///< empty: nothing is written
    int jobs = 1;        ///< threads that compute; 1 or more
    std::optional<TileRows> tile_rows;
    const std::atomic<bool>* interrupted = nullptr;  ///< looked at between blocks
};

/// What was built, or would be.
struct BuildOutcome {
    BlockTiles totals;  ///< without the tiles themselves
    std::int64_t lattice_points = 0;
    std::int64_t tiles = 0;
    std::int64_t stations = 0;                  ///< merged, with what may be used of them
    std::vector<SourceTally> station_tallies;   ///< by [[stations]] of the recipe
    std::vector<StationCounts> station_counts;  ///< the same, of what is in use
    PostalTable postal;                         ///< its places moved into the file
    std::int64_t postal_codes = 0;
    std::vector<std::string> warnings;
    std::vector<StageFigures> stages;
    std::int64_t file_bytes = 0;  ///< 0 if nothing was written
};

/// Errors: usage for tile rows outside the lattice; those of reading and writing; bad_input if not
/// one point of the lattice has data; interrupted. Whatever fails, nothing half-written stays.
[[nodiscard]] Result<BuildOutcome> run_build(const Recipe& recipe, const BuildOptions& options,
                                             Progress& progress);

}  // namespace thirstline
