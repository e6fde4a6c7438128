// The process: signals, the environment, and the only place that prints errors and sets exit codes.
#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <new>
#include <string_view>

#include "lookup/program.hpp"

namespace {

using namespace thirstline;

void leave_when_interrupted(int) {
    _exit(exit_status(ErrorCode::interrupted));
}

std::string_view variable(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string_view{} : std::string_view{value};
}

Environment environment_of_process() {
    return {variable("LC_ALL"), variable("LC_MEASUREMENT"), variable("LC_CTYPE"), variable("LANG"),
            variable("THIRSTLINE_DB")};
}

int report(const Error& error) {
    std::fprintf(stderr, "thirstline-lookup: %s\n", error.message.c_str());
    if (!error.hint.empty()) std::fprintf(stderr, "hint: %s\n", error.hint.c_str());
    return exit_status(error.code);
}

int run(int argc, char** argv) {
    // Were standard output closed, the next file to be opened would take its number.
    if (fcntl(STDOUT_FILENO, F_GETFD) == -1) {
        return report({ErrorCode::io, "standard output is closed", ""});
    }
    DescriptorSink out(STDOUT_FILENO, "standard output");
    const auto status = run_program(argc, argv, environment_of_process(), out);
    const auto flushed = out.flush();
    if (!status) return report(status.error());
    if (!flushed) return report(flushed.error());
    return *status;
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGINT, leave_when_interrupted);
    try {
        return run(argc, argv);
    } catch (const std::bad_alloc&) {
        return report({ErrorCode::internal, "memory ran out", ""});
    } catch (const std::exception& exception) {
        return report({ErrorCode::internal,
                       std::string("a fault of the program: ") + exception.what(),
                       "please report it, with the command that you gave"});
    }
}
