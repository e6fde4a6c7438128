// A program's man page: a hand-written frame, filled with the facts the program itself knows.
#pragma once

#include <string>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/command_line/reference/program_outline.hpp"

namespace thirstline {

/// The frame uses man(7) macros and must contain each of these marks, which are replaced:
/// @VERSION@, @SYNOPSIS@ (one line per command), @OPTIONS@ (those before a command), @COMMANDS@
/// (each with its options, notes and examples) and @EXIT_STATUS@.
/// Errors: bad_input for a missing mark.
[[nodiscard]] Result<std::string> man_page(const ProgramOutline& program, std::string frame);

/// Text escaped for man(7): hyphens can be copied, and no line is taken for a control line.
[[nodiscard]] std::string roff_text(std::string_view text);

}  // namespace thirstline
