// The thirstline-builder program: its commands and its help text.
#pragma once

#include "schema/command_line/program.hpp"

namespace thirstline {

/// Passes the program's commands to `ending`; returns its exit status.
[[nodiscard]] int with_builder_commands(ProgramEnding ending, int argc, const char* const* argv);

}  // namespace thirstline
