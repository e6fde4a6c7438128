// The stations of a recipe, from their tables to the fusion for all points: read, merged, and
// checked against the grids, the terrain and one another.
//
// Thread safety: belongs to the reader thread.
#pragma once

#include <atomic>

#include "builder/background/source_grids.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/eto_stations.hpp"
#include "builder/fusion/fusion.hpp"
#include "builder/fusion/year_fields.hpp"
#include "builder/recipe/recipe.hpp"
#include "builder/stations/station_set.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct FusedStations {
    StationSet set;  ///< without rejected values, which are in its tallies
    Fusion fusion;
    EtoStations eto;
    YearFields years;  ///< without stations unless the recipe wants their layers
};

/// A recipe without stations gives an empty set, and a fusion without effect.
/// Errors: those of reading the tables and the grids; bad_input if the layers of years are wanted
/// and no station has years; interrupted.
[[nodiscard]] Result<FusedStations> fused_stations(const Recipe& recipe, SourceGrids& sources,
                                                   const Survey& survey,
                                                   const std::atomic<bool>* interrupted = nullptr);

/// The stations listed in the file: those with at least one usable value and a known elevation, in
/// the order of the set.
[[nodiscard]] std::vector<StationRecord> station_records(const StationSet& set,
                                                         const Recipe& recipe);

}  // namespace thirstline
