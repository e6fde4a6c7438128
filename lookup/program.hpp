// The program apart from its process: arguments in, data out, an exit status or an Error back.
//
// Thread safety: none; once a process.
#pragma once

#include "lookup/text_sink.hpp"
#include "lookup/units.hpp"
#include "schema/result.hpp"

namespace thirstline {

/// `argv` as main has it. Returns 0, or 1 for a question without an answer.
/// Throws only what the standard library throws when memory runs out.
[[nodiscard]] Result<int> run_program(int argc, const char* const* argv,
                                      const Environment& environment, TextSink& out);

}  // namespace thirstline
