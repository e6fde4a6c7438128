// Completion scripts of bash, zsh and fish for a program's commands, options and values.
#pragma once

#include <string>

#include "schema/command_line/reference/program_outline.hpp"

namespace thirstline {

[[nodiscard]] std::string bash_completion(const ProgramOutline& program);
[[nodiscard]] std::string zsh_completion(const ProgramOutline& program);
[[nodiscard]] std::string fish_completion(const ProgramOutline& program);

}  // namespace thirstline
