// Merges the tiles of several files, streamed by ascending key.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <span>

#include "builder/join/conflicts.hpp"
#include "builder/join/join_plan.hpp"
#include "builder/join/overlay_blend.hpp"

namespace thirstline {

/// Receives a tile: its key in the joined file, codec and bytes.
using TakeTile =
    std::function<Result<void>(std::int64_t key, int codec, std::span<const std::uint8_t> data)>;

/// Passes every tile of the joined file to `take` and returns the number of their points. A tile in
/// two files is merged if their points agree; otherwise it is a conflict, and not passed on.
/// `blend` may be null. Errors: those of reading and of `take`; interrupted.
[[nodiscard]] Result<std::int64_t> merge_tiles(const JoinPlan& plan, OverlayBlend* blend,
                                               Conflicts& conflicts, const TakeTile& take,
                                               const std::atomic<bool>& interrupted);

}  // namespace thirstline
