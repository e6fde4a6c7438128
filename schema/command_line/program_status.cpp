#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <new>

#include "schema/command_line/program.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

namespace {

std::string_view variable(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string_view{} : std::string_view{value};
}

Environment environment_of_process() {
    return {variable("LC_ALL"), variable("LC_MEASUREMENT"), variable("LC_CTYPE"), variable("LANG"),
            variable("THIRSTLINE_DB")};
}

int report(const ProgramText& text, const Error& error) {
    // Messages may contain names from files.
    const auto line_of = [](std::string words) {
        std::replace(words.begin(), words.end(), '\n', ' ');
        return terminal_text(words);
    };
    std::fprintf(stderr, "%s: %s\n", text.name, line_of(error.message).c_str());
    if (!error.hint.empty()) std::fprintf(stderr, "hint: %s\n", line_of(error.hint).c_str());
    return exit_status(error.code);
}

}  // namespace

int program_status(const ProgramText& text, std::span<Command* const> commands, int argc,
                   const char* const* argv) {
    std::signal(SIGPIPE, SIG_IGN);
    try {
        // If standard output were closed, the next opened file would get its descriptor.
        if (fcntl(STDOUT_FILENO, F_GETFD) == -1)
            return report(text, {ErrorCode::io, "standard output is closed", ""});
        DescriptorSink out(STDOUT_FILENO, "standard output");
        const auto status = run_program(text, commands, argc, argv, environment_of_process(), out);
        const auto flushed = out.flush();
        if (!status) return report(text, status.error());
        if (!flushed) return report(text, flushed.error());
        return *status;
    } catch (const std::bad_alloc&) {
        return report(text, {ErrorCode::internal, "out of memory", ""});
    } catch (const std::exception& exception) {
        return report(text,
                      {ErrorCode::internal, std::string("internal error: ") + exception.what(),
                       "please report it, with the command you used"});
    }
}

}  // namespace thirstline
