#include "schema/command_line/program.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>

#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

std::string version_text(const ProgramText& text) {
    return std::string(text.name) + " " + kProgramVersion;
}

void set_common(CLI::App& app, const ProgramText& text) {
    app.set_version_flag("--version", version_text(text), "print the version and exit")
        ->group("Other");
    app.set_help_flag("-h,--help", "print this help and exit")->group("Other");
    app.get_formatter()->column_width(24);
}

Error usage_error(const CLI::App& app, const CLI::ParseError& error, const ProgramText& text,
                  const std::string& commands) {
    const auto chosen = app.get_subcommands();
    // "--jobs: must be …": the sentence goes on where CLI11 puts a colon.
    if (dynamic_cast<const CLI::ValidationError*>(&error) != nullptr) {
        std::string message = error.what();
        message.erase(std::min(message.find(':'), message.size()), 1);
        return {ErrorCode::usage, message, ""};
    }
    if (chosen.empty()) {
        const auto rest = app.remaining();
        const std::string message = rest.empty() || rest.front().starts_with('-')
                                        ? std::string(error.what())
                                        : "unknown command \"" + rest.front() + "\"";
        return {ErrorCode::usage, message, "the commands are " + commands};
    }
    return {
        ErrorCode::usage, error.what(),
        std::string(text.name) + " " + chosen.front()->get_name() + " --help lists the options"};
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
    std::string names;
    for (const Command* command : commands) add_word(names, command->name());

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
        return fail(usage_error(app, error, text, names));
    }
    Environment named = environment;
    if (!database.empty()) named.database = database;
    for (Command* command : commands) {
        if (!app.got_subcommand(command->name())) continue;
        const auto outcome = TRY(command->run(named, out));
        return outcome == Outcome::no_data ? exit_status(ErrorCode::no_data) : 0;
    }
    return fail(ErrorCode::usage, "no command is given", "the commands are " + names);
}

}  // namespace thirstline
