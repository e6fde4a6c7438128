// How several baselines are combined in one file: their lattices by rank, their merged lists, and
// the ids by which points refer to them.
//
// A finer lattice has the higher rank; of two equally fine ones, that of the file named later.
// Texts are kept from all files, the coarsest baseline's first.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "builder/join/joined_baseline.hpp"

namespace thirstline {

struct JoinedLattice {
    Lattice lattice;  ///< with its id and rank in the joined file
    const JoinedBaseline* baseline = nullptr;
    int own_id = 0;                 ///< in the baseline's files
    std::map<int, int> period_ids;  ///< from the baseline's to the joined file's
};

/// What a file of several baselines says of itself.
struct OverlayTexts {
    std::map<std::string, std::string> metadata;  ///< in place of the baselines' texts
    std::string note;                             ///< of the join in the history
};

struct JoinPlan {
    TileLayout layout;                    ///< every layer that any baseline has
    std::vector<JoinedLattice> lattices;  ///< by ascending id
    std::map<std::string, std::string, std::less<>> metadata;  ///< without counts of points
    std::vector<Source> sources;
    std::vector<StationRecord> stations;
    std::vector<PeriodRow> periods;
    std::vector<MethodRow> methods;
    std::vector<HistoryStep> history;
};

/// A single baseline is not changed, and `texts` then not used. The plan refers to the baselines,
/// which must outlive it. Errors (bad_input): baselines that cannot be combined (different
/// reference surfaces, site corrections, tile sizes or units of a layer), of which some parts are
/// missing, or with more periods than a file can have.
[[nodiscard]] Result<JoinPlan> plan_of(const std::vector<JoinedBaseline>& baselines,
                                       const OverlayTexts& texts);

}  // namespace thirstline
