// The history of a file that is joined from others.
#pragma once

#include <vector>

#include "builder/join/joined_baseline.hpp"

namespace thirstline {

/// One baseline, from its parts or subsets: its own history, because the result is what one build
/// would have written. Several: the histories of all, in that order, then the join. `as_named` are
/// the same baselines in the order of the command. A baseline without a history, from before format
/// 1.3, becomes a build without a recipe.
[[nodiscard]] std::vector<HistoryStep> joined_history(
    const std::vector<const JoinedBaseline*>& baselines,
    const std::vector<const JoinedBaseline*>& as_named);

}  // namespace thirstline
