// Joins several databases into one: parts that were built separately, subsets of one file, or finer
// baselines over coarser ones.
#pragma once

#include <atomic>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

struct JoinOptions {
    bool partial = false;    ///< parts of a baseline may lack rows; the file then says so
    bool overwrite = false;  ///< a file at the output is replaced
};

/// Verifies every input first; one with the content of another is joined once. Tiles are streamed;
/// the lists of sources and stations are kept in memory. On any failure, nothing is left behind and
/// an existing output is unchanged. Errors: bad_database for a damaged input; bad_input for inputs
/// that contradict each other or do not belong together, and for parts that lack rows unless
/// `partial`; io; interrupted.
[[nodiscard]] Result<void> run_join(const std::vector<std::string>& paths,
                                    const std::string& output, JoinOptions options,
                                    const std::atomic<bool>& interrupted);

}  // namespace thirstline
