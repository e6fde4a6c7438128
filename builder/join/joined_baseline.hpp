// Joins the files of one baseline: parts that were built separately, or subsets taken from it.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "builder/join/join_input.hpp"

namespace thirstline {

struct JoinedBaseline {
    std::vector<const JoinInput*> inputs;  ///< in the command's order; never empty
    std::map<std::string, std::string, std::less<>> metadata;  ///< without counts of points
    std::vector<Source> sources;
    std::vector<StationRecord> stations;
    std::vector<PeriodRow> periods;
    std::vector<MethodRow> methods;
    std::vector<HistoryStep> history;
    TileRowRanges tile_rows;  ///< of all parts; empty if it is whole

    [[nodiscard]] const std::vector<Lattice>& lattices() const {
        return inputs.front()->database->lattices();
    }
    [[nodiscard]] const TileLayout& layout() const { return inputs.front()->database->layout(); }
};

/// Files with the same lattices belong to one baseline. In the order of their first files. Errors
/// (bad_input): files of one baseline that contradict each other, naming the differences (the first
/// few, and their number).
[[nodiscard]] Result<std::vector<JoinedBaseline>> baselines_of(
    const std::vector<JoinInput>& inputs);

}  // namespace thirstline
