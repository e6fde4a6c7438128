#include "builder/commands/recipe_commands.hpp"

#include <unistd.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <thread>

#include "builder/commands/output_paths.hpp"
#include "builder/grids/grid.hpp"
#include "builder/licences/licence_text.hpp"
#include "builder/pipeline/build.hpp"
#include "builder/pipeline/build_plan.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/recipe/recipe.hpp"
#include "builder/report/build_report.hpp"
#include "builder/report/recipe_licences.hpp"
#include "schema/base/worker_pool.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

constexpr int kMaxParts = 9'999;

/// "2:5"
Result<TileRows> parsed_tile_rows(const std::string& text) {
    TileRows rows;
    const char* end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, rows.first);
    const bool has_first = first.ec == std::errc{} && first.ptr != end && *first.ptr == ':';
    const auto second =
        has_first ? std::from_chars(first.ptr + 1, end, rows.end) : std::from_chars_result{};
    if (!has_first || second.ec != std::errc{} || second.ptr != end) {
        return fail(
            ErrorCode::usage,
            "--tile-rows must be two whole numbers such as 0:12 (the end excluded), not \"" + text +
                "\"");
    }
    return rows;
}

struct PartOfBuild {
    int number = 0;  ///< from 1
    int of = 0;
};

/// "2/16"
Result<PartOfBuild> parsed_part(const std::string& text) {
    PartOfBuild part;
    const char* end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, part.number);
    const bool has_first = first.ec == std::errc{} && first.ptr != end && *first.ptr == '/';
    const auto second =
        has_first ? std::from_chars(first.ptr + 1, end, part.of) : std::from_chars_result{};
    if (!has_first || second.ec != std::errc{} || second.ptr != end || part.number < 1 ||
        part.number > part.of || part.of > kMaxParts) {
        return fail(ErrorCode::usage,
                    "--part must be a part and the number of parts such as 1/4, up to " +
                        std::to_string(kMaxParts) + " parts, not \"" + text + "\"");
    }
    return part;
}

/// The rows of a part of the plan. Errors (usage): more parts than rows.
Result<TileRows> rows_of_part(const Recipe& recipe, PartOfBuild part) {
    const auto plan = TRY(planned_parts(recipe, part.of));
    if (part.of <= static_cast<int>(plan.size()))
        return plan[static_cast<std::size_t>(part.number) - 1].rows;
    return fail(ErrorCode::usage, "the lattice has " + std::to_string(plan.size()) +
                                      " rows of tiles, so a build of it has at most as many "
                                      "parts, not " +
                                      std::to_string(part.of));
}

/// Checks that a report can be written before the work, not after it.
Result<void> refuse_unwritable_report(const std::string& path, bool overwrite) {
    if (path.empty()) return {};
    TRY(refuse_existing(path, overwrite));
    const std::string folder = std::filesystem::path(path).parent_path().string();
    if (access(folder.empty() ? "." : folder.c_str(), W_OK) == 0) return {};
    return fail(ErrorCode::io, "writing " + path + " failed: " + std::strerror(errno));
}

void warn(const std::vector<std::string>& warnings) {
    for (const std::string& warning : warnings)
        std::fprintf(stderr, "thirstline-builder: note: %s\n", warning.c_str());
}

}  // namespace

void BuildCommand::declare(CLI::App& app) {
    declare_recipe_options(app, recipe_);
    app.add_option("-o,--output", output_, "database to write")
        ->type_name("OUT.sqlite")
        ->group("Output");
    app.add_flag("--overwrite", overwrite_, "replace an existing database or report")
        ->group("Output");
    app.add_option("--report", report_, "write a report of the build, in JSON")
        ->type_name("FILE.json")
        ->group("Output");
    require_number(*app.add_option("--jobs", jobs_, "number of threads; default: all cores")
                        ->type_name("N")
                        ->group("Work"),
                   1, kMaxJobs);
    app.add_option("--tile-rows", tile_rows_,
                   "build only these rows of tiles, counted from the south; the end is excluded")
        ->type_name("A:B")
        ->group("Work");
    app.add_option("--part", part_,
                   "build only this part of that many, which hold about the same number of points "
                   "on land")
        ->type_name("I/N")
        ->group("Work");
    require_number(*app.add_option("--plan", plan_,
                                   "print that many parts and their rows of tiles, in JSON; "
                                   "nothing is built")
                        ->type_name("N")
                        ->group("Work"),
                   1, kMaxParts);
    add_word_option(app, progress_,
                    {"--progress",
                     "progress on the terminal: ",
                     {"auto", "always", "never", "json"},
                     "; default: auto",
                     "HOW",
                     "Work"});
    signing_.declare(app);
    app.footer(help_footer({"thirstline-builder build merrow.toml -o merrow.sqlite",
                            "thirstline-builder build merrow.toml -o merrow.sqlite --overwrite "
                            "--report merrow.json",
                            "thirstline-builder build world.toml --plan 16",
                            "thirstline-builder build world.toml -o part-2.sqlite --part 2/16"}));
}

Result<Outcome> BuildCommand::print_plan(TextSink& out) {
    if (!output_.empty() || !report_.empty() || !part_.empty() || !tile_rows_.empty()) {
        return fail(ErrorCode::usage,
                    "--plan only prints the parts, so it goes with neither --output, --report, "
                    "--part nor --tile-rows");
    }
    set_up_gdal();
    Progress progress(progress_style(progress_));
    const auto recipe = TRY(recipe_to_build(recipe_, progress));
    const auto parts = TRY(planned_parts(recipe, plan_));
    TRY(out.write(plan_json(parts)));
    return Outcome::done;
}

Result<void> BuildCommand::check_outputs() const {
    if (!part_.empty() && !tile_rows_.empty())
        return fail(ErrorCode::usage, "use only one of --part and --tile-rows");
    if (output_.empty()) {
        return fail(ErrorCode::usage, "--output is required",
                    "name the database to write: -o OUT.sqlite");
    }
    for (const Result<void>& allowed :
         {refuse_existing(output_, overwrite_), refuse_same_file(output_, recipe_.recipe),
          refuse_same_file(report_, recipe_.recipe), refuse_same_file(report_, output_),
          refuse_unwritable_report(report_, overwrite_)}) {
        if (!allowed) return fail(allowed.error());
    }
    return {};
}

Result<Outcome> BuildCommand::run(const Environment& /*environment*/, TextSink& out) {
    if (plan_ > 0) return print_plan(out);
    BuildOptions options;
    options.output = output_;
    options.overwrite = overwrite_;
    options.jobs = jobs_ > 0 ? jobs_ : all_cores();
    options.interrupted = &watch_for_interruption();
    if (!tile_rows_.empty()) options.tile_rows = TRY(parsed_tile_rows(tile_rows_));
    const auto part = TRY(part_.empty() ? Result<PartOfBuild>(PartOfBuild{}) : parsed_part(part_));
    TRY(check_outputs());
    const auto signing_key = TRY(key_for_output(signing_, output_, overwrite_));
    set_up_gdal();
    const auto recipe = TRY([&] {
        Progress progress(progress_style(progress_));
        return recipe_to_build(recipe_, progress);
    }());
    if (part.of > 0) options.tile_rows = TRY(rows_of_part(recipe, part));
    const auto licences = TRY(licences_of(recipe));
    const auto outcome = TRY([&] {
        Progress progress(progress_style(progress_));
        return run_build(recipe, options, progress);
    }());
    TRY(sign_if_asked(signing_key, output_));
    warn(outcome.warnings);
    if (restricts_publishing(licences))
        warn({publishing_restriction(licences) + "; `thirstline-builder check` shows all terms"});
    if (!report_.empty()) TRY(write_whole_file(report_, build_report_json(recipe, outcome)));
    if (!report_.empty() || isatty(STDERR_FILENO) == 1)
        std::fputs(build_summary(recipe, outcome).c_str(), stderr);
    return Outcome::done;
}

void CheckCommand::declare(CLI::App& app) {
    declare_recipe_options(app, recipe_);
    app.add_flag("--strict", strict_, "exit with status 3 if any value is suspect")
        ->group("Output");
    add_word_option(
        app, format_,
        {"--format", "output format: ", {"text", "json"}, "; default: text", "FORMAT", "Output"});
    app.footer(help_footer({"thirstline-builder check merrow.toml",
                            "thirstline-builder check merrow.toml --strict --format json"}));
}

Result<Outcome> CheckCommand::run(const Environment& /*environment*/, TextSink& out) {
    set_up_gdal();
    const auto recipe = TRY([&] {
        Progress progress(progress_style("auto"));
        return recipe_to_build(recipe_, progress);
    }());
    const auto licences = TRY(licences_of(recipe));
    BuildOptions options;
    options.jobs = all_cores();
    options.interrupted = &watch_for_interruption();
    const auto outcome = TRY([&] {
        Progress progress(progress_style("auto"));
        return run_build(recipe, options, progress);
    }());
    const std::string text = format_ == "json"
                                 ? suspects_json(recipe, outcome, licences)
                                 : suspects_text(recipe, outcome) + licence_summary_text(licences);
    TRY(out.write(text));
    const std::int64_t suspects = suspects_counted(outcome);
    if (strict_ && suspects > 0) {
        return fail(
            ErrorCode::bad_input,
            recipe_.recipe + ": " + std::to_string(suspects) + " values or rows are suspect",
            "fix the sources, or check without --strict: suspect values are not used");
    }
    return Outcome::done;
}

}  // namespace thirstline
