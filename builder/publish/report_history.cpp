#include <algorithm>

#include "builder/publish/downloads.hpp"
#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

/// Names of the files of each step, as the commands of the report use them.
class StepNames {
  public:
    explicit StepNames(const ReportMatter& matter) : matter_(matter) {}

    [[nodiscard]] std::string recipe(const HistoryStep& step) const {
        const auto supplied = std::ranges::find(matter_.recipes, step.step, &SuppliedRecipe::step);
        return supplied == matter_.recipes.end() ? stem(step) + ".toml" : supplied->name;
    }
    [[nodiscard]] std::string database(const HistoryStep& step) const {
        return is_last(step) ? "built.sqlite" : stem(step) + ".sqlite";
    }
    [[nodiscard]] std::string database(int step) const {
        const auto found = std::ranges::find(matter_.history, step, &HistoryStep::step);
        return found == matter_.history.end() ? "unknown.sqlite" : database(*found);
    }

  private:
    [[nodiscard]] bool is_last(const HistoryStep& step) const {
        return step.step == matter_.history.back().step;
    }
    /// The title and, in a joined file, the step's number: "merrow-valley-2".
    [[nodiscard]] std::string stem(const HistoryStep& step) const {
        return file_stem_of(step.title) +
               (matter_.history.size() > 1 ? "-" + std::to_string(step.step) : std::string());
    }

    const ReportMatter& matter_;
};

std::string command_of(const HistoryStep& step, const StepNames& names) {
    if (step.is_build())
        return "thirstline-builder build " + names.recipe(step) + " -o " + names.database(step);
    if (step.action == kJoinAction) {
        std::string command = "thirstline-builder join";
        for (const int input : step.inputs) command += " " + names.database(input);
        if (!step.note.empty()) command += " " + step.note;
        return command + " -o " + names.database(step);
    }
    if (step.action == kSubsetAction && step.inputs.size() == 1) {
        return "thirstline-builder export " + names.database(step.inputs.front()) +
               " --as sqlite -o " + names.database(step) + "   # " + step.note;
    }
    return "# " + step.action + " of " + step.title;
}

/// Every step with the version of the program that made it and the hash of its result.
std::string steps_html(const ReportMatter& matter, const StepNames& names) {
    std::string html = "<table class=\"texts\"><thead><tr>" + element("th", "Step") +
                       element("th", "Result") + element("th", "Version") +
                       element("th", "Content SHA-256 of the result") + "</tr></thead><tbody>\n";
    for (const HistoryStep& step : matter.history) {
        const bool is_last = step.step == matter.history.back().step;
        const std::string hash = is_last                       ? "that of this dataset, above"
                                 : step.content_sha256.empty() ? "not recorded: joined from parts"
                                                               : step.content_sha256;
        html += "<tr>" + element("th", std::to_string(step.step) + ", " + step.action) +
                element("td", step.title + " (" + names.database(step) + ")") +
                element("td", step.program) + element("td", hash) + "</tr>\n";
    }
    return html + "</tbody></table>\n";
}

/// Checksums of the inputs: "<sha256>  <name>" per line.
std::string checksums_html(const ReportMatter& matter) {
    std::string sums;
    for (const SourceFile& file : matter.input_files) sums += file.sha256 + "  " + file.name + "\n";
    while (sums.ends_with('\n')) sums.pop_back();
    if (sums.empty()) return {};
    return element("h3", "Input files, with their SHA-256") + preformatted(sums);
}

}  // namespace

std::string rebuild_html(const ReportMatter& matter) {
    const auto in_metadata = [&matter](const char* key) {
        const auto found = matter.metadata.find(key);
        return found == matter.metadata.end() ? std::string() : found->second;
    };
    const std::string version = in_metadata("builder_version");
    std::string html = element(
        "p", "The same recipe, inputs and version of the program give the same bytes" +
                 (version.empty() ? std::string() : "; these were built by version " + version) +
                 ". The database must then have the content checksum given above.");
    const std::string subset = in_metadata("subset_selection");
    if (!subset.empty())
        html += element("p", "This database is a subset of the database with content SHA-256 " +
                                 in_metadata("subset_of") + ": " + subset + ".");
    const StepNames names(matter);
    std::string commands;
    for (const HistoryStep& step : matter.history) commands += command_of(step, names) + "\n";
    if (matter.history.empty()) commands = "thirstline-builder build RECIPE.toml -o built.sqlite\n";
    html += preformatted(commands + "thirstline-builder publish built.sqlite -o site\n");
    if (matter.history.size() > 1) html += steps_html(matter, names);
    html += checksums_html(matter);
    for (const HistoryStep* build : builds_with_recipe(matter.history)) {
        html += element("h3", "The recipe, " + names.recipe(*build)) +
                element("p", "SHA-256 " + build->recipe_sha256, "sum note") +
                preformatted(build->recipe);
    }
    return section_html("Reproducing this dataset", html);
}

std::string evaluations_html(const ReportMatter& matter) {
    std::string html;
    for (const SuppliedEvaluation& supplied : matter.evaluations) {
        if (matter.evaluations.size() > 1 || matter.history.size() > 1)
            html += element("h3", supplied.evaluation.title);
        html += evaluation_html(supplied.evaluation);
    }
    if (html.empty())
        html = element("p", "No cross-validation results were supplied for this report.");
    return section_html("Cross-validation", html);
}

}  // namespace thirstline
