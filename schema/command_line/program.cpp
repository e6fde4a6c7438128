#include "schema/command_line/program.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <new>

#include "schema/version.hpp"

namespace thirstline {

namespace {

std::string version_text(const ProgramText& text) {
    return std::string(text.name) + " " + kProgramVersion;
}

void set_common(CLI::App& app, const ProgramText& text) {
    app.set_version_flag("--version", version_text(text), "print the version and leave")
        ->group("Other");
    app.set_help_flag("-h,--help", "print this help and leave")->group("Other");
    app.get_formatter()->column_width(24);
}

Error usage_error(const CLI::App& app, const CLI::ParseError& error, const ProgramText& text,
                  const std::string& commands) {
    const auto chosen = app.get_subcommands();
    if (chosen.empty()) {
        const auto rest = app.remaining();
        const std::string message = rest.empty() || rest.front().starts_with('-')
                                        ? std::string(error.what())
                                        : "there is no command \"" + rest.front() + "\"";
        return {ErrorCode::usage, message, "the commands are " + commands};
    }
    return {
        ErrorCode::usage, error.what(),
        std::string(text.name) + " " + chosen.front()->get_name() + " --help lists the options"};
}

std::string_view variable(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string_view{} : std::string_view{value};
}

Environment environment_of_process() {
    return {variable("LC_ALL"), variable("LC_MEASUREMENT"), variable("LC_CTYPE"), variable("LANG"),
            variable("THIRSTLINE_DB")};
}

int report(const ProgramText& text, const Error& error) {
    std::fprintf(stderr, "%s: %s\n", text.name, error.message.c_str());
    if (!error.hint.empty()) std::fprintf(stderr, "hint: %s\n", error.hint.c_str());
    return exit_status(error.code);
}

}  // namespace

Result<int> run_program(const ProgramText& text, std::span<Command* const> commands, int argc,
                        const char* const* argv, const Environment& environment, TextSink& out) {
    CLI::App app(text.purpose, text.name);
    std::string database;
    if (text.has_database_option) declare_database_option(app, database);
    set_common(app, text);
    std::string names;
    for (Command* command : commands) {
        CLI::App* own = app.add_subcommand(command->name(), command->purpose());
        command->declare(*own);
        set_common(*own, text);  // last, as the help lists them
        names += (names.empty() ? "" : ", ") + std::string(command->name());
    }
    app.footer(help_footer({text.example, text.second_example}));

    const auto say = [&out](const std::string& words) -> Result<int> {
        if (auto written = out.write(words); !written) return fail(std::move(written.error()));
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
        const auto outcome = command->run(named, out);
        if (!outcome) return fail(outcome.error());
        return *outcome == Outcome::no_data ? exit_status(ErrorCode::no_data) : 0;
    }
    return fail(ErrorCode::usage, "no command is given", "the commands are " + names);
}

int program_status(const ProgramText& text, std::span<Command* const> commands, int argc,
                   const char* const* argv) {
    std::signal(SIGPIPE, SIG_IGN);
    try {
        // Were standard output closed, the next file to be opened would take its number.
        if (fcntl(STDOUT_FILENO, F_GETFD) == -1)
            return report(text, {ErrorCode::io, "standard output is closed", ""});
        DescriptorSink out(STDOUT_FILENO, "standard output");
        const auto status = run_program(text, commands, argc, argv, environment_of_process(), out);
        const auto flushed = out.flush();
        if (!status) return report(text, status.error());
        if (!flushed) return report(text, flushed.error());
        return *status;
    } catch (const std::bad_alloc&) {
        return report(text, {ErrorCode::internal, "memory ran out", ""});
    } catch (const std::exception& exception) {
        return report(
            text, {ErrorCode::internal, std::string("a fault of the program: ") + exception.what(),
                   "please report it, with the command that you gave"});
    }
}

}  // namespace thirstline
