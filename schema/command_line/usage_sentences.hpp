// What is wrong with a command line, in one sentence, from what the parser found.
#pragma once

#include "schema/base/result.hpp"

namespace CLI {
class App;
class ParseError;
}  // namespace CLI

namespace thirstline {

/// "unknown option --zip; did you mean --postal?", "--units is given twice", "--at needs a value:
/// LAT,LON". `command` is the program's command that was parsed, or the program itself.
/// Code: usage.
[[nodiscard]] Error usage_error(const CLI::App& command, const CLI::ParseError& error);

}  // namespace thirstline
