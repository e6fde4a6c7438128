#include "builder/commands/publish_command.hpp"

#include <CLI/App.hpp>
#include <algorithm>

#include "builder/grids/grid.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/publish/site_folder.hpp"
#include "builder/report/recipe_licences.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

std::string kilobytes(std::int64_t bytes) {
    return std::to_string((bytes + 500) / 1000) + " kB";
}

std::string summary(const PublishOutcome& outcome) {
    return counted(outcome.points, "point") + " in " + counted(outcome.areas, "area") + " of " +
           kilobytes(outcome.area_bytes / std::max<std::int64_t>(outcome.areas, 1)) +
           " on average, " + kilobytes(outcome.largest_area_bytes) + " at most\n" +
           counted(outcome.postal_codes, "postal code") + " in " +
           counted(outcome.postal_files, "file") + "\n" + counted(outcome.files, "file") +
           " in all, " + kilobytes(outcome.bytes) + "\n";
}

constexpr std::string_view kNoDownloads = "none";

/// The downloads that were asked for. Errors (usage): an unknown word, or "none" beside others.
Result<std::vector<std::string>> chosen_downloads(const std::vector<std::string>& words) {
    if (words.empty()) return default_downloads();
    if (words.size() == 1 && words.front() == kNoDownloads) return std::vector<std::string>{};
    for (const std::string& word : words) {
        const auto& known = download_words();
        if (std::find(known.begin(), known.end(), word) != known.end()) continue;
        return fail(ErrorCode::usage, "--downloads must be of " + joined(known) +
                                          ", or none alone, not " + in_quotes(word));
    }
    return words;
}

/// Errors (usage): a source's licence restricts publishing.
Result<void> refuse_restricted(Database& database, bool accept_licence) {
    const auto sources = TRY(database.sources());
    const auto licences = TRY(licences_of(sources));
    if (accept_licence || !restricts_publishing(licences)) return {};
    return fail(ErrorCode::usage,
                publishing_restriction(licences) + ", so the file is not published",
                "use --accept-licence if you have the right to publish it; this is "
                "information, not legal advice");
}

}  // namespace

void PublishCommand::declare(CLI::App& app) {
    app.add_option("database", database_, "database file")->type_name("DB")->required();
    app.add_option("-o,--output", options_.folder, "folder to write; it must not exist yet")
        ->type_name("DIR")
        ->required()
        ->group("Output");
    app.add_flag("--overwrite", options_.overwrite,
                 "replace a folder that publish wrote, and that holds nothing else")
        ->group("Output");
    CLI::Option* downloads =
        app.add_option("--downloads", downloads_,
                       "downloads to include: of " + joined(download_words()) +
                           ", or none; default: " + joined(default_downloads()))
            ->delimiter(',')
            ->type_name("LIST")
            ->group("Output");
    std::vector<std::string_view> words = download_words();
    words.push_back(kNoDownloads);
    offer_words(*downloads, words);
    app.add_option(
           "--ground", options_.ground_files,
           "vector file with coasts, borders, rivers or named towns for the page's map, in "
           "any format that GDAL reads; again for each of several; credit its source in the "
           "recipe's notice where its license requires it")
        ->type_name("FILE")
        ->allow_extra_args(false)
        ->group("Output");
    app.add_option("--evaluation", options_.evaluation_files,
                   "output of evaluate --format json, for the report: of the database's recipe and "
                   "inputs; again for each baseline of a joined database")
        ->type_name("FILE")
        ->allow_extra_args(false)
        ->group("Report");
    app.add_option("--recipe", options_.recipe_files,
                   "recipe that the database was built from: it is compared with the one that the "
                   "database keeps, and its name used in the report; again for each of several")
        ->type_name("FILE")
        ->allow_extra_args(false)
        ->group("Report");
    app.add_option(
           "--previous", options_.previous_database,
           "database of the previous edition: the report then has a section on what changed")
        ->type_name("OLD.sqlite")
        ->group("Report");
    signing_.declare(app);
    app.add_flag("--accept-licence", accept_licence_,
                 "publish even if a source's license restricts commercial use, redistribution or "
                 "use with the other sources; you state that you have the right")
        ->group("Licenses");
    app.footer(
        "Copy the folder to any web host; no server program is needed. After the first visit the\n"
        "page works offline for places already viewed; others need a connection. It makes no\n"
        "requests to other hosts. report.html describes the data and methods. Browsers open the\n"
        "page only from a web host, not from a disk. To try it:\n"
        "python3 -m http.server -d merrow-site\n\n" +
        help_footer({"thirstline-builder publish merrow.sqlite -o merrow-site",
                     "thirstline-builder publish merrow.sqlite -o merrow-site --overwrite "
                     "--evaluation scores.json --recipe merrow.toml"}));
}

Result<Outcome> PublishCommand::run(const Environment& environment, TextSink& out) {
    options_.downloads = TRY(chosen_downloads(downloads_));
    const PageAssets* assets = page_assets();
    if (assets == nullptr) {
        return fail(ErrorCode::io,
                    "this thirstline-builder was built without the page's files, so it cannot "
                    "publish",
                    "build it where clang makes WebAssembly; DEVELOPERS.md names the packages");
    }
    TRY(refuse_folder(options_.folder, options_.overwrite));
    options_.signing_key = TRY(signing_.key());
    const auto database = TRY(open_database(database_, environment));
    TRY(refuse_restricted(*database, accept_licence_));
    set_up_gdal();
    const auto outcome = TRY(publish(*database, *assets, options_, watch_for_interruption()));
    TRY(out.write(summary(outcome)));
    return Outcome::done;
}

}  // namespace thirstline
