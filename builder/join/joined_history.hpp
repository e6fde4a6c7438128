// The history of a file that is joined from others.
#pragma once

#include <vector>

#include "builder/join/joined_baseline.hpp"

namespace thirstline {

/// One baseline, from its parts or subsets: its own history, because the result is what one build
/// would have written. Several: the histories of all, in that order, then the join. The order of
/// the command must not show where it does not matter. A baseline without a history, from before
/// format 1.3, becomes a build without a recipe.
[[nodiscard]] std::vector<HistoryStep> joined_history(
    const std::vector<const JoinedBaseline*>& baselines);

}  // namespace thirstline
