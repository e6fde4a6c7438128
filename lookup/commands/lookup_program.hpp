// thirstline-lookup as a whole: its commands, and the text of its help.
//
// Thread safety: none; call it once per process.
#pragma once

#include "schema/base/result.hpp"
#include "schema/command_line/command.hpp"
#include "schema/command_line/program.hpp"
#include "schema/command_line/text_sink.hpp"

namespace thirstline {

/// `argv` as main receives it. Returns 0, or 1 for a question without an answer.
[[nodiscard]] Result<int> run_lookup(int argc, const char* const* argv,
                                     const Environment& environment, TextSink& out);

/// Passes the program's commands to `ending`; returns its exit status.
[[nodiscard]] int with_lookup_commands(ProgramEnding ending, int argc, const char* const* argv);

}  // namespace thirstline
