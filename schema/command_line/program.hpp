// A program of commands: the one that the arguments name runs, and its outcome becomes the exit
// status.
//
// Thread safety: none; once a process.
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
    bool has_database_option;  ///< --db may stand before the command, too
};

/// Gives `app`, a new one, the program's name, options and commands. `commands` and `database`, to
/// which --db goes, must outlive it.
void declare_program(CLI::App& app, const ProgramText& text, std::span<Command* const> commands,
                     std::string& database);

/// `argv` as main has it. Returns 0, or 1 for a question without an answer.
/// Throws only what the standard library throws when memory runs out.
[[nodiscard]] Result<int> run_program(const ProgramText& text, std::span<Command* const> commands,
                                      int argc, const char* const* argv,
                                      const Environment& environment, TextSink& out);

/// What a program does with its commands: its main's status, from the arguments as main has them.
using ProgramEnding = int (*)(const ProgramText& text, std::span<Command* const> commands, int argc,
                              const char* const* argv);

/// The whole of `main` around `run_program`: the environment, a closed standard output (status 5),
/// errors printed on standard error, an exception turned into status 70. SIGPIPE is ignored.
[[nodiscard]] int program_status(const ProgramText& text, std::span<Command* const> commands,
                                 int argc, const char* const* argv);

}  // namespace thirstline
