// An alternative main for a program: instead of running a command, it writes the man page and the
// shell completions of all commands. So these always match the program that is built.
#pragma once

#include "schema/command_line/program.hpp"

namespace thirstline {

/// Arguments: FOLDER FRAME. FRAME is the man page's frame. Writes FOLDER/<program>.1,
/// <program>.bash, _<program> (zsh) and <program>.fish. A ProgramEnding.
[[nodiscard]] int reference_status(const ProgramText& text, std::span<Command* const> commands,
                                   int argc, const char* const* argv);

}  // namespace thirstline
