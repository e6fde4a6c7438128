// A program of commands: runs the command named by the arguments and turns its outcome into the
// exit status.
//
// Thread safety: none; call it once per process.
#pragma once

#include <span>
#include <string>

#include "schema/base/result.hpp"
#include "schema/command_line/command.hpp"
#include "schema/command_line/text_sink.hpp"

namespace thirstline {

struct ProgramText {
    const char* name;     ///< "thirstline-lookup"
    const char* purpose;  ///< one line
    const char* example;
    const char* second_example;
    bool has_database_option;  ///< --db may also precede the command
};

/// Gives `app`, a new object, the program's name, options and commands. `commands` and `database`,
/// which receives the value of --db, must outlive it.
void declare_program(CLI::App& app, const ProgramText& text, std::span<Command* const> commands,
                     std::string& database);

/// `argv` as main receives it. Returns 0, or 1 for a question without an answer. Throws only what
/// the standard library throws when memory runs out.
[[nodiscard]] Result<int> run_program(const ProgramText& text, std::span<Command* const> commands,
                                      int argc, const char* const* argv,
                                      const Environment& environment, TextSink& out);

/// What a program does with its commands: takes the arguments as main receives them and returns the
/// exit status.
using ProgramEnding = int (*)(const ProgramText& text, std::span<Command* const> commands, int argc,
                              const char* const* argv);

/// All of `main` around `run_program`: the environment, a closed standard output (status 5), errors
/// printed on standard error, an exception turned into status 70. SIGPIPE is ignored.
[[nodiscard]] int program_status(const ProgramText& text, std::span<Command* const> commands,
                                 int argc, const char* const* argv);

}  // namespace thirstline
