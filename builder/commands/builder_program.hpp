// thirstline-builder as a whole: its commands, and what its help says.
#pragma once

#include "schema/command_line/program.hpp"

namespace thirstline {

/// Hands the program's commands to `ending`; its exit status.
[[nodiscard]] int with_builder_commands(ProgramEnding ending, int argc, const char* const* argv);

}  // namespace thirstline
