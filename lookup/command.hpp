// What every command of the program is: a name, options, and something it does with them.
//
// Thread safety: none; a command lives for one run of the program.
#pragma once

#include "lookup/text_sink.hpp"
#include "lookup/units.hpp"
#include "schema/result.hpp"

namespace CLI {
class App;
}

namespace thirstline {

enum class Outcome {
    done,
    no_data,  ///< a valid question without an answer, which the data written says itself
};

class Command {
  public:
    Command() = default;
    Command(const Command&) = delete;
    Command& operator=(const Command&) = delete;
    virtual ~Command() = default;

    [[nodiscard]] virtual const char* name() const = 0;
    /// One line for the help.
    [[nodiscard]] virtual const char* purpose() const = 0;
    /// Adds the options; `app` must not outlive the command.
    virtual void declare(CLI::App& app) = 0;
    /// Checks the options, then does the work. Data goes to `out`.
    [[nodiscard]] virtual Result<Outcome> run(const Environment& environment, TextSink& out) = 0;
};

}  // namespace thirstline
