// A program's man page: a frame that people write, and in it what the program itself knows.
#pragma once

#include <string>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/command_line/reference/program_outline.hpp"

namespace thirstline {

/// The frame, in man(7)'s macros, with each of these marks replaced, which it must hold:
/// @VERSION@, @SYNOPSIS@ (a line for each command), @OPTIONS@ (those before a command), @COMMANDS@
/// (each with its options, notes and examples) and @EXIT_STATUS@.
/// Errors: bad_input for a mark that is not there.
[[nodiscard]] Result<std::string> man_page(const ProgramOutline& program, std::string frame);

/// Text as man(7) wants it: hyphens that can be copied, no control line by accident.
[[nodiscard]] std::string roff_text(std::string_view text);

}  // namespace thirstline
