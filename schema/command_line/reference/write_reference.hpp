// Another ending for a program's commands: instead of running one, it writes the man page and the
// shells' completions of all of them. So they cannot tell of another program than the one that is
// built.
#pragma once

#include "schema/command_line/program.hpp"

namespace thirstline {

/// Arguments: FOLDER FRAME. FRAME is the man page's frame; written are FOLDER/<program>.1,
/// <program>.bash, _<program> (zsh) and <program>.fish. A ProgramEnding.
[[nodiscard]] int reference_status(const ProgramText& text, std::span<Command* const> commands,
                                   int argc, const char* const* argv);

}  // namespace thirstline
