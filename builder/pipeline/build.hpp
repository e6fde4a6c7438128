// A complete build: opens the sources, surveys the lattice, processes the blocks on all cores, and
// writes the file or only checks what would be written.
//
// One thread reads and writes, in order; others compute. The result depends only on the recipe and
// its sources, not on the number of threads.
//
// Thread safety: one build at a time in a process (GDAL's block cache is the process's).
#pragma once

#include <atomic>
#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/pipeline/block_tiles.hpp"
#include "builder/pipeline/lattice_coverage.hpp"
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
    std::string output;     ///< empty: no file is written
    bool overwrite = true;  ///< a file at the output is replaced
    int jobs = 1;           ///< threads that compute; 1 or more
    std::optional<TileRows> tile_rows;
    const std::atomic<bool>* interrupted = nullptr;  ///< checked between blocks
};

/// The result of a build or of a check.
struct BuildOutcome {
    BlockTiles totals;  ///< without the tiles themselves
    std::int64_t lattice_points = 0;
    std::int64_t tiles = 0;
    std::int64_t stations = 0;                  ///< merged, with their usable values
    std::vector<SourceTally> station_tallies;   ///< by [[stations]] and [[records]]
    std::vector<StationCounts> station_counts;  ///< the same, for values in use
    std::vector<std::int64_t> station_rows;     ///< the same: rows read
    std::vector<RecordFindings> records;        ///< by [[records]]
    std::optional<LatticeCoverage> coverage;    ///< only if no file is written
    PostalTable postal;                         ///< its places are moved into the file
    std::int64_t postal_codes = 0;
    std::vector<std::string> warnings;
    std::vector<StageFigures> stages;
    std::int64_t file_bytes = 0;  ///< 0 if nothing was written
};

/// Errors: usage for tile rows outside the lattice; those of reading and writing; bad_input if no
/// point of the lattice has data; interrupted. After an error no incomplete file remains.
[[nodiscard]] Result<BuildOutcome> run_build(const Recipe& recipe, const BuildOptions& options,
                                             Progress& progress);

}  // namespace thirstline
