// Recipes and evaluations that a publisher supplies for the report: each must belong to the file
// that is published, by the hashes that the file keeps in its history.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <string>
#include <vector>

#include "builder/publish/report_evaluation.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/database/history.hpp"

namespace thirstline {

struct SuppliedRecipe {
    int step = 0;      ///< of the history: the build that it belongs to
    std::string name;  ///< without its folder
};

struct SuppliedEvaluation {
    int step = 0;
    ReportEvaluation evaluation;
};

/// Errors: io; bad_input for a file without a history, and for a recipe that none of its builds
/// used, with the first difference.
[[nodiscard]] Result<SuppliedRecipe> supplied_recipe(const std::string& path,
                                                     const Database& database,
                                                     const std::vector<HistoryStep>& history);

/// Errors: those of read_evaluation; bad_input for scores of another recipe, other inputs or
/// another version of the program, naming the difference.
[[nodiscard]] Result<SuppliedEvaluation> supplied_evaluation(
    const std::string& path, Database& database, const std::vector<HistoryStep>& history);

}  // namespace thirstline
