#include <algorithm>
#include <cstdio>
#include <exception>
#include <new>
#include <string>
#include <vector>

#include "schema/command_line/program.hpp"
#include "schema/platform/byte_streams.hpp"
#include "schema/platform/process.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

namespace {

Environment environment_of_process() {
    Environment environment{environment_variable("LC_ALL"), environment_variable("LC_MEASUREMENT"),
                            environment_variable("LC_CTYPE"), environment_variable("LANG"),
                            environment_variable("THIRSTLINE_DB")};
    if (!environment.lc_all.empty() || !environment.lang.empty()) return environment;
    const UserLocale user = user_locale();
    environment.lang = user.language;
    if (environment.lc_measurement.empty()) environment.lc_measurement = user.measurement;
    return environment;
}

/// Several faults of one file, each on a line that begins with the file's name: "merrow.toml:". Any
/// other line end is a part of a message.
std::vector<std::string> faults_of(const std::string& message) {
    const std::string file = message.substr(0, message.find(':') + 1);
    std::vector<std::string> faults;
    for (std::size_t at = 0; at <= message.size();) {
        std::size_t end = message.find('\n', at);
        while (end != std::string::npos &&
               (file.empty() || message.compare(end + 1, file.size(), file) != 0))
            end = message.find('\n', end + 1);
        end = std::min(end, message.size());
        faults.push_back(message.substr(at, end - at));
        at = end + 1;
    }
    return faults;
}

int report(const ProgramText& text, const Error& error) {
    // Messages may contain names from files.
    const auto line_of = [](std::string words) {
        std::replace(words.begin(), words.end(), '\n', ' ');
        return terminal_text(words);
    };
    for (const std::string& fault : faults_of(error.message))
        std::fprintf(stderr, "%s: %s\n", text.name, line_of(fault).c_str());
    if (!error.hint.empty()) std::fprintf(stderr, "hint: %s\n", line_of(error.hint).c_str());
    return exit_status(error.code);
}

}  // namespace

int program_status(const ProgramText& text, std::span<Command* const> commands, int argc,
                   const char* const* argv) {
    const StandardStreams streams;
    try {
        // If standard output were closed, the next opened file would get its descriptor.
        if (!streams.has_output())
            return report(text, {ErrorCode::io, "standard output is closed", ""});
        DescriptorSink out(kStandardOutput, "standard output");
        const auto words = program_arguments(argc, argv);
        std::vector<const char*> arguments;
        for (const std::string& word : words) arguments.push_back(word.c_str());
        const auto status = run_program(text, commands, static_cast<int>(arguments.size()),
                                        arguments.data(), environment_of_process(), out);
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
