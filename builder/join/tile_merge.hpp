// The tiles of several files as those of one, streamed by ascending key.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <span>

#include "builder/join/conflicts.hpp"
#include "builder/join/join_plan.hpp"

namespace thirstline {

/// What is done with a tile: its key in the joined file, codec and bytes.
using TakeTile =
    std::function<Result<void>(std::int64_t key, int codec, std::span<const std::uint8_t> data)>;

/// Hands over every tile of the joined file and returns how many points they hold. A tile that two
/// files hold is one if their points agree; else it is a conflict, and is not handed over.
/// Errors: those of reading and of `take`; interrupted.
[[nodiscard]] Result<std::int64_t> merge_tiles(const JoinPlan& plan, Conflicts& conflicts,
                                               const TakeTile& take,
                                               const std::atomic<bool>& interrupted);

}  // namespace thirstline
