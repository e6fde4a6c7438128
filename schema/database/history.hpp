// How a file was made: the table `history` of format 1.3. A file that a build wrote has one step; a
// file that was joined from others has their steps, then that of the join. Each build keeps its
// recipe, and hashes that bind it to the files it has read.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

inline constexpr std::string_view kBuildAction = "build";
inline constexpr std::string_view kSubsetAction = "subset";
inline constexpr std::string_view kJoinAction = "join";

struct HistoryStep {
    int step = 0;                    ///< from 1, in order
    std::string action;              ///< one of the above, or unknown to this version
    std::string program;             ///< version of thirstline-builder
    std::string title;               ///< of the step's result
    std::vector<int> inputs;         ///< the steps whose results are joined, in the command's order
    std::string note;                ///< the selection of a subset; the options of a join
    std::string content_sha256;      ///< of the result; empty for the file itself and if unknown
    std::string input_files_sha256;  ///< of a build: input_files_sha256 of the files it has read
    std::string recipe_sha256;       ///< of a build
    std::string recipe;              ///< of a build: the text; empty if it is not known
    friend bool operator==(const HistoryStep&, const HistoryStep&) = default;

    [[nodiscard]] bool is_build() const { return action == kBuildAction; }
};

/// Empty for files older than format 1.3. Errors: those of reading the table; bad_database for
/// inputs that are not numbers.
[[nodiscard]] Result<std::vector<HistoryStep>> history_steps(const Database& database);

/// The builds among the steps whose recipe is kept.
[[nodiscard]] std::vector<const HistoryStep*> builds_with_recipe(
    const std::vector<HistoryStep>& history);

/// All files that the file's builds have read, each once, sorted by name and hash.
/// Errors: those of reading table source.
[[nodiscard]] Result<std::vector<SourceFile>> input_files_of(Database& database);

/// SHA-256 over the lines "sha256  name\n" of the files, each once, sorted.
[[nodiscard]] std::string input_files_sha256(const std::vector<SourceFile>& files);

[[nodiscard]] std::string sha256_of(std::string_view text);

/// Checks the steps against each other and against the file's own list of inputs.
/// Errors (bad_database): naming the step.
[[nodiscard]] Result<void> check_history(Database& database);

}  // namespace thirstline
