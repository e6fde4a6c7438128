// Joins several databases into one: parts that were built separately, subsets of one file, or finer
// baselines over coarser ones.
#pragma once

#include <atomic>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// Verifies every input first. Tiles are streamed; the lists of sources and stations are kept in
/// memory. On any failure, nothing is left behind and an existing output is unchanged. Errors:
/// bad_database for a damaged input; bad_input for inputs that contradict each other or do not
/// belong together; io; interrupted.
[[nodiscard]] Result<void> run_join(const std::vector<std::string>& paths,
                                    const std::string& output,
                                    const std::atomic<bool>& interrupted);

}  // namespace thirstline
