// Several databases made one: parts that were built apart, subsets of one file, or finer baselines
// laid over coarser ones.
#pragma once

#include <atomic>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// Verifies every input first. Tiles are streamed; the lists of sources and stations are held.
/// Whatever fails, nothing half-written stays, and what stood at the output still stands.
/// Errors: bad_database for a damaged input; bad_input for inputs that contradict each other or do
/// not go together; io; interrupted.
[[nodiscard]] Result<void> run_join(const std::vector<std::string>& paths,
                                    const std::string& output,
                                    const std::atomic<bool>& interrupted);

}  // namespace thirstline
