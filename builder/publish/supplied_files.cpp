#include "builder/publish/supplied_files.hpp"

#include <algorithm>
#include <filesystem>

#include "builder/publish/report_text.hpp"

namespace thirstline {

namespace {

/// Enough of a hash to compare by eye.
std::string short_hash(const std::string& sha256) {
    return sha256.substr(0, 12) + "…";
}

/// Errors (bad_input): the database does not keep a recipe to compare with.
Result<std::vector<const HistoryStep*>> kept_builds(const std::string& path,
                                                    const Database& database,
                                                    const std::vector<HistoryStep>& history) {
    auto builds = builds_with_recipe(history);
    if (!builds.empty()) return builds;
    return fail(ErrorCode::bad_input,
                database.path() + " does not keep its recipe, so whether " + path +
                    " belongs to it cannot be checked",
                "build the database again: files of format 1.3 or newer keep it");
}

/// The first line, from 1, in which they differ.
int first_different_line(const std::string& a, const std::string& b) {
    const auto [in_a, in_b] = std::ranges::mismatch(a, b);
    return 1 + static_cast<int>(std::count(a.begin(), in_a, '\n'));
}

/// A difference in the inputs, as the end of a sentence.
std::string input_difference(const ReportEvaluation& evaluation,
                             const std::vector<SourceFile>& of_file) {
    for (const SourceFile& input : evaluation.inputs) {
        if (std::ranges::find(of_file, input) != of_file.end()) continue;
        const auto same_name = std::ranges::find(of_file, input.name, &SourceFile::name);
        if (same_name == of_file.end()) return "it used " + input.name + ", and the build did not";
        return "its " + input.name + " has SHA-256 " + short_hash(input.sha256) +
               ", and that of the build " + short_hash(same_name->sha256);
    }
    for (const SourceFile& input : of_file) {
        if (std::ranges::find(evaluation.inputs, input) == evaluation.inputs.end())
            return "the build used " + input.name + ", and it did not";
    }
    return "the lists of inputs differ";
}

}  // namespace

Result<SuppliedRecipe> supplied_recipe(const std::string& path, const Database& database,
                                       const std::vector<HistoryStep>& history) {
    const auto text = TRY(small_file_text(path));
    const auto builds = TRY(kept_builds(path, database, history));
    for (const HistoryStep* build : builds) {
        if (build->recipe_sha256 == sha256_of(text))
            return SuppliedRecipe{build->step, std::filesystem::path(path).filename().string()};
    }
    const std::string difference =
        builds.size() == 1
            ? "line " + std::to_string(first_different_line(text, builds.front()->recipe)) +
                  " differs"
            : "its SHA-256 " + short_hash(sha256_of(text)) + " is none of theirs";
    return fail(
        ErrorCode::bad_input,
        path + " is not " +
            (builds.size() == 1 ? "the recipe that " + database.path() + " was built from: "
                                : "one of the " + std::to_string(builds.size()) + " recipes that " +
                                      database.path() + " was built from: ") +
            difference,
        "thirstline-builder info " + database.path() + " --recipe writes the right one");
}

Result<SuppliedEvaluation> supplied_evaluation(const std::string& path, Database& database,
                                               const std::vector<HistoryStep>& history) {
    auto evaluation = TRY(read_evaluation(path));
    const auto builds = TRY(kept_builds(path, database, history));
    const auto refused = [&](const std::string& difference) {
        return fail(
            ErrorCode::bad_input,
            "the scores in " + path + " do not belong to " + database.path() + ": " + difference,
            "run thirstline-builder evaluate with the recipe and inputs of the database");
    };
    if (evaluation.recipe_sha256.empty())
        return refused("they do not state a recipe, as those of older versions");
    const auto build =
        std::ranges::find(builds, evaluation.recipe_sha256,
                          [](const HistoryStep* step) { return step->recipe_sha256; });
    if (build == builds.end()) {
        std::string kept;
        for (const HistoryStep* step : builds)
            kept += (kept.empty() ? "" : ", ") + short_hash(step->recipe_sha256);
        return refused("the recipe of the scores, \"" + evaluation.title + "\", has SHA-256 " +
                       short_hash(evaluation.recipe_sha256) + ", and that of the database " + kept);
    }
    if (input_files_sha256(evaluation.inputs) != (*build)->input_files_sha256) {
        const auto files = TRY(input_files_of(database));
        return refused(input_difference(evaluation, files));
    }
    if (evaluation.builder_version != (*build)->program) {
        return refused("the scores are of version " + evaluation.builder_version +
                       " of the program, and the build is of version " + (*build)->program);
    }
    return SuppliedEvaluation{(*build)->step, std::move(evaluation)};
}

}  // namespace thirstline
