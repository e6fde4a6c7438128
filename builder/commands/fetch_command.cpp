#include "builder/commands/fetch_command.hpp"

#include <CLI/App.hpp>
#include <cstdio>

#include "builder/catalogue/catalogue_text.hpp"
#include "builder/fetch/fetch.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/text/text_wrapping.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

constexpr int kMaxTimeoutSeconds = 3600;
constexpr int kMaxRetryDelaySeconds = 3600;

std::string size_text(std::int64_t bytes) {
    if (bytes < 0) return "size not stated";
    if (bytes < 100'000) return std::to_string(bytes) + " bytes";
    return megabytes_text(static_cast<double>(bytes) / 1e6);
}

/// "12 files to download into us.data, 340 MB and 2 of a size that the server does not state"
std::string plan_text(const Recipe& recipe, const FetchPlan& plan) {
    std::string text = counted(plan.files_in(FileState::download), "file") + " to download into " +
                       recipe.data_folder;
    const std::int64_t unknown = plan.downloads_of_unknown_size();
    if (plan.stated_bytes() > 0) text += ", " + size_text(plan.stated_bytes());
    if (unknown > 0)
        text += (plan.stated_bytes() > 0 ? " and " : ", ") + std::to_string(unknown) +
                " of a size that the server does not state";
    text += "\n";
    const std::int64_t there = plan.files_in(FileState::locked);
    const std::int64_t found = plan.files_in(FileState::found);
    const std::int64_t by_hand = plan.files_in(FileState::by_hand);
    if (there > 0) text += counted(there, "file") + " already there, as in the lock file\n";
    if (found > 0)
        text += counted(found, "file") + " already there, not in the lock file: used as " +
                (found == 1 ? "it is\n" : "they are\n");
    if (by_hand > 0) text += counted(by_hand, "file") + " to be put there by hand\n";
    return text;
}

std::string file_lines(const FetchPlan& plan) {
    std::string text;
    for (const PlannedFile& planned : plan.files) {
        const char* state = planned.state == FileState::locked    ? "there"
                            : planned.state == FileState::found   ? "there, not locked"
                            : planned.state == FileState::by_hand ? "by hand"
                                                                  : "to download";
        text += left_aligned(state, 19) +
                (planned.state == FileState::by_hand ? std::string()
                                                     : left_aligned(size_text(planned.bytes), 17)) +
                planned.file.name + (planned.file.url.empty() ? "" : "  " + planned.file.url) +
                "\n";
    }
    return text;
}

}  // namespace

void FetchCommand::declare(CLI::App& app) {
    app.add_option("recipe", recipe_, "recipe, in TOML")->type_name("RECIPE")->required();
    app.add_option("--into", folder_,
                   "folder to download into; default: the recipe's name with the ending "
                   ".data, beside it")
        ->type_name("FOLDER")
        ->group("Downloads");
    app.add_flag("--dry-run", dry_run_, "list the files with their sizes, and download nothing")
        ->group("Downloads");
    require_number(*app.add_option("--timeout", timeout_s_,
                                   "seconds to wait for a server that sends nothing; default: 60")
                        ->type_name("S")
                        ->group("Downloads"),
                   1, kMaxTimeoutSeconds);
    require_number(*app.add_option("--retry-delay", retry_delay_s_,
                                   "seconds to wait before a failed download is tried again, "
                                   "doubled after each attempt; four attempts in all; default: 1")
                        ->type_name("S")
                        ->group("Downloads"),
                   0, kMaxRetryDelaySeconds);
    add_word_option(app, progress_,
                    {"--progress",
                     "progress on the terminal: ",
                     {"auto", "always", "never", "json"},
                     "; default: auto",
                     "HOW",
                     "Work"});
    app.footer(
        "Downloads the addresses in url of each source whose path begins with {data}. An\n"
        "interrupted download resumes where it stopped. The size and SHA-256 of each file are\n"
        "kept in a lock file beside the recipe; a second run downloads nothing, and a file that\n"
        "the provider has changed is an error that shows both checksums. Files that you put into\n"
        "the folder yourself are used as they are.\n\n" +
        help_footer({"thirstline-builder fetch us.toml --dry-run",
                     "thirstline-builder fetch us.toml",
                     "thirstline-builder fetch us.toml --into /data/us && thirstline-builder build "
                     "us.toml --data /data/us -o us.sqlite"}));
}

Result<Outcome> FetchCommand::run(const Environment& /*environment*/, TextSink& out) {
    const auto recipe = TRY(read_recipe(recipe_, folder_));
    const FetchOptions options{timeout_s_, retry_delay_s_, watch_for_interruption()};
    Progress progress(progress_style(progress_));
    auto plan = TRY(fetch_plan(recipe, options, progress));
    if (dry_run_) {
        TRY(out.write(file_lines(plan) + plan_text(recipe, plan)));
        return Outcome::done;
    }
    std::fputs(("thirstline-builder: " + plan_text(recipe, plan)).c_str(), stderr);
    TRY(fetch(recipe, std::move(plan), options, progress));
    return Outcome::done;
}

}  // namespace thirstline
