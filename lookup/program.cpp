#include "lookup/program.hpp"

#include <CLI/CLI.hpp>
#include <array>
#include <string>

#include "lookup/command_batch.hpp"
#include "lookup/command_info.hpp"
#include "lookup/command_site.hpp"
#include "lookup/command_verify.hpp"
#include "schema/version.hpp"

namespace thirstline {
namespace {

constexpr const char* kPurpose =
    "Answers from a Thirstline database, offline: monthly reference evapotranspiration and rain";

std::string version_text() {
    return std::string("thirstline-lookup ") + kProgramVersion;
}

/// After the command's own options: the help lists them in this order.
void set_common(CLI::App& app) {
    app.set_version_flag("--version", version_text(), "print the version and leave")
        ->group("Other");
    app.set_help_flag("-h,--help", "print this help and leave")->group("Other");
    app.get_formatter()->column_width(24);
}

Error usage_error(const CLI::App& app, const CLI::ParseError& error, const std::string& commands) {
    const auto chosen = app.get_subcommands();
    if (chosen.empty()) {
        const auto rest = app.remaining();
        const std::string message = rest.empty() || rest.front().starts_with('-')
                                        ? std::string(error.what())
                                        : "there is no command \"" + rest.front() + "\"";
        return {ErrorCode::usage, message, "the commands are " + commands};
    }
    return {ErrorCode::usage, error.what(),
            "thirstline-lookup " + chosen.front()->get_name() + " --help lists the options"};
}

}  // namespace

Result<int> run_program(int argc, const char* const* argv, const Environment& environment,
                        TextSink& out) {
    SiteCommand site;
    BatchCommand batch;
    InfoCommand info;
    VerifyCommand verify;
    const std::array<Command*, 4> commands{&site, &batch, &info, &verify};

    CLI::App app(kPurpose, "thirstline-lookup");
    DatabaseOption database;
    declare_database_option(app, database);
    set_common(app);
    std::string names;
    for (Command* command : commands) {
        CLI::App* own = app.add_subcommand(command->name(), command->purpose());
        command->declare(*own);
        set_common(*own);
        names += (names.empty() ? "" : ", ") + std::string(command->name());
    }
    app.footer(help_footer({"thirstline-lookup site --db merrow.sqlite --postal 04107",
                            "thirstline-lookup site --help"}));

    const auto say = [&out](const std::string& text) -> Result<int> {
        if (auto written = out.write(text); !written) return fail(std::move(written.error()));
        return 0;
    };
    try {
        app.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
        return say(app.help());
    } catch (const CLI::CallForVersion&) {
        return say(version_text() + "\n");
    } catch (const CLI::ParseError& error) {
        return fail(usage_error(app, error, names));
    }

    Environment named = environment;
    if (!database.path.empty()) named.database = database.path;
    for (Command* command : commands) {
        if (!app.got_subcommand(command->name())) continue;
        const auto outcome = command->run(named, out);
        if (!outcome) return fail(outcome.error());
        return *outcome == Outcome::no_data ? exit_status(ErrorCode::no_data) : 0;
    }
    return fail(ErrorCode::usage, "no command is given", "the commands are " + names);
}

}  // namespace thirstline
