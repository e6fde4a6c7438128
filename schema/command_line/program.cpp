#include "schema/command_line/program.hpp"

#include <CLI/CLI.hpp>
#include <string_view>
#include <vector>

#include "schema/base/nearest_name.hpp"
#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/command_line/usage_sentences.hpp"

namespace thirstline {

namespace {

std::string version_text(const ProgramText& text) {
    return std::string(text.name) + " " + kProgramVersion;
}

void set_common(CLI::App& app, const ProgramText& text) {
    app.set_version_flag("--version", version_text(text), "print the version and exit")
        ->group("Other");
    app.set_help_flag("-h,--help", "print this help and exit")->group("Other");
}

Error usage_error_of(const CLI::App& app, const CLI::ParseError& error,
                     const std::vector<std::string_view>& commands) {
    const std::string hint = "the commands are " + joined(commands);
    const auto chosen = app.get_subcommands();
    if (!chosen.empty()) return usage_error(*chosen.front(), error);
    const auto rest = app.remaining();
    if (rest.empty() || rest.front().starts_with('-')) {
        Error of_program = usage_error(app, error);
        of_program.hint = hint;
        return of_program;
    }
    return {
        ErrorCode::usage,
        "unknown command " + in_quotes(rest.front()) + did_you_mean_clause(rest.front(), commands),
        hint};
}

}  // namespace

void declare_program(CLI::App& app, const ProgramText& text, std::span<Command* const> commands,
                     std::string& database) {
    app.description(text.purpose);
    app.name(text.name);
    use_plain_help(app);
    if (text.has_database_option) declare_database_option(app, database);
    set_common(app, text);
    for (Command* command : commands) {
        CLI::App* own = app.add_subcommand(command->name(), command->purpose());
        own->group("Commands");
        command->declare(*own);
        set_common(*own, text);  // last, as the help lists them
    }
    app.footer(help_footer({text.example, text.second_example}));
}

Result<int> run_program(const ProgramText& text, std::span<Command* const> commands, int argc,
                        const char* const* argv, const Environment& environment, TextSink& out) {
    CLI::App app;
    std::string database;
    declare_program(app, text, commands, database);
    std::vector<std::string_view> names;
    for (const Command* command : commands) names.emplace_back(command->name());

    const auto say = [&out](const std::string& words) -> Result<int> {
        TRY(out.write(words));
        return 0;
    };
    try {
        app.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
        return say(app.help());
    } catch (const CLI::CallForVersion&) {
        return say(version_text(text) + "\n");
    } catch (const CLI::ParseError& error) {
        return fail(usage_error_of(app, error, names));
    }
    Environment named = environment;
    if (!database.empty()) named.database = database;
    for (Command* command : commands) {
        if (!app.got_subcommand(command->name())) continue;
        const auto outcome = TRY(command->run(named, out));
        return outcome == Outcome::done ? 0 : exit_status(ErrorCode::no_data);
    }
    return fail(ErrorCode::usage, "no command is given", "the commands are " + joined(names));
}

}  // namespace thirstline
