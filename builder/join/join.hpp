// Joins several databases into one: parts that were built separately, subsets of one file, or finer
// baselines over coarser ones.
#pragma once

#include <atomic>
#include <map>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

inline constexpr int kDefaultBlendKm = 30;
inline constexpr int kMaxBlendKm = 1000;

struct JoinOptions {
    bool partial = false;    ///< parts of a baseline may lack rows; the file then says so
    bool overwrite = false;  ///< a file at the output is replaced
    /// Width of the blend within the borders of finer baselines: see overlay_blend.hpp. 0: none.
    /// The default turns the largest differences at a border of open data into slopes that are
    /// usual within a baseline: tests/benchmarks/RESULTS.md.
    int blend_km = kDefaultBlendKm;
    /// Texts of the result by metadata key, such as "title", in place of those of the baselines.
    std::map<std::string, std::string> texts = {};
};

/// Verifies every input first; one with the content of another is joined once. Tiles are streamed;
/// the lists of sources and stations are kept in memory. On any failure, nothing is left behind and
/// an existing output is unchanged. Errors: bad_database for a damaged input; bad_input for inputs
/// that contradict each other or do not belong together, and for parts that lack rows unless
/// `partial`; usage for `texts` if the inputs are of one baseline; io; interrupted.
[[nodiscard]] Result<void> run_join(const std::vector<std::string>& paths,
                                    const std::string& output, const JoinOptions& options,
                                    const std::atomic<bool>& interrupted);

}  // namespace thirstline
