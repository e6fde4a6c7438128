#include "schema/database/history.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <set>
#include <sstream>

#include "schema/base/sha256.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline {

namespace {

constexpr const char* kHasHistory =
    "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'history'";
constexpr const char* kSteps =
    "SELECT step, action, program, title, inputs, note, content_sha256, input_files_sha256, "
    "recipe_sha256, recipe FROM history ORDER BY step";

/// "1 3"; nothing for another text.
std::optional<std::vector<int>> step_numbers(const std::string& text) {
    std::vector<int> numbers;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        int number = 0;
        const auto [rest, error] = std::from_chars(text.data() + at, text.data() + end, number);
        if (error != std::errc{} || rest != text.data() + end || number < 1) return std::nullopt;
        numbers.push_back(number);
        at = end + 1;
    }
    return numbers;
}

bool is_sha256_or_empty(const std::string& text) {
    return text.empty() ||
           (text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos);
}

tl::unexpected<Error> invalid(const Database& database, int step, const std::string& what) {
    return fail(ErrorCode::bad_database,
                "step " + std::to_string(step) + " of table history of " + database.path() +
                    " is not valid: " + what,
                kFetchAgain);
}

/// What is wrong with a step by itself, after those before it; empty if nothing is.
std::string fault_of(const HistoryStep& step, int number) {
    if (step.step != number) return "the step before it is missing";
    if (step.action.empty()) return "it has no action";
    for (const int input : step.inputs)
        if (input >= number) return "it uses the result of a step that is not before it";
    for (const std::string* hash :
         {&step.content_sha256, &step.input_files_sha256, &step.recipe_sha256})
        if (!is_sha256_or_empty(*hash)) return "a hash does not have 64 hexadecimal digits";
    if (!step.recipe.empty() && sha256_of(step.recipe) != step.recipe_sha256)
        return "its recipe does not match the recipe's hash";
    return {};
}

std::set<std::string> checksum_lines(const std::vector<SourceFile>& files) {
    std::set<std::string> lines;
    for (const SourceFile& file : files) lines.insert(file.sha256 + "  " + file.name + "\n");
    return lines;
}

}  // namespace

Result<std::vector<HistoryStep>> history_steps(const Database& database) {
    const std::string doing = "reading table history of " + database.path();
    auto exists = TRY(SqliteStatement::prepare(database.connection(), kHasHistory, doing));
    const auto has_row = TRY(exists.step());
    if (!has_row || exists.integer(0) == 0) return std::vector<HistoryStep>{};
    auto rows = TRY(SqliteStatement::prepare(database.connection(), kSteps, doing));
    std::vector<HistoryStep> history;
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return history;
        HistoryStep step;
        step.step = static_cast<int>(std::clamp<std::int64_t>(rows.integer(0), 0, INT32_MAX));
        auto inputs = step_numbers(rows.text(4));
        if (!inputs) return invalid(database, step.step, "its inputs are not numbers of steps");
        step.inputs = std::move(*inputs);
        step.action = rows.text(1);
        step.program = rows.text(2);
        step.title = rows.text(3);
        step.note = rows.text(5);
        step.content_sha256 = rows.text(6);
        step.input_files_sha256 = rows.text(7);
        step.recipe_sha256 = rows.text(8);
        step.recipe = rows.text(9);
        history.push_back(std::move(step));
    }
}

std::vector<const HistoryStep*> builds_with_recipe(const std::vector<HistoryStep>& history) {
    std::vector<const HistoryStep*> builds;
    for (const HistoryStep& step : history)
        if (step.is_build() && !step.recipe.empty()) builds.push_back(&step);
    return builds;
}

Result<std::vector<SourceFile>> input_files_of(Database& database) {
    std::vector<SourceFile> files;
    const auto sources = TRY(database.sources());
    for (const Source& source : sources)
        files.insert(files.end(), source.files.begin(), source.files.end());
    // Files that no source names: a line "SHA-256  name" each.
    std::istringstream lines(database.metadata("other_input_files"));
    constexpr std::size_t kNameAt = 66;
    for (std::string line; std::getline(lines, line);)
        if (line.size() > kNameAt) files.push_back({line.substr(kNameAt), line.substr(0, 64)});
    std::ranges::sort(files, {}, [](const SourceFile& f) { return std::pair(f.name, f.sha256); });
    const auto repeated = std::unique(files.begin(), files.end());
    files.erase(repeated, files.end());
    return files;
}

std::string input_files_sha256(const std::vector<SourceFile>& files) {
    Sha256 hash;
    for (const std::string& line : checksum_lines(files)) hash.add(line);
    return hash.hex_digest();
}

std::string sha256_of(std::string_view text) {
    Sha256 hash;
    hash.add(text);
    return hash.hex_digest();
}

Result<void> check_history(Database& database) {
    const auto history = TRY(history_steps(database));
    int builds = 0;
    for (std::size_t i = 0; i < history.size(); ++i) {
        const std::string fault = fault_of(history[i], static_cast<int>(i) + 1);
        if (!fault.empty()) return invalid(database, history[i].step, fault);
        builds += history[i].is_build() ? 1 : 0;
    }
    // The list of inputs is that of all builds together, so it can be compared only with one.
    if (builds != 1 || history.size() != 1) return {};
    const auto files = TRY(input_files_of(database));
    if (input_files_sha256(files) == history.front().input_files_sha256) return {};
    return invalid(database, 1, "the file lists other inputs than those that were built from");
}

}  // namespace thirstline
