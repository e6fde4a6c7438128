// What each command of both programs is: a name, options, and an action.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/command_line/text_sink.hpp"

namespace CLI {
class App;
}

namespace thirstline {

/// The environment variables that the programs read; empty where unset.
struct Environment {
    std::string lc_all;
    std::string lc_measurement;
    std::string lc_ctype;
    std::string lang;
    std::string database;  ///< THIRSTLINE_DB
};

enum class Outcome {
    done,
    no_data,    ///< a valid question without an answer; the output itself says so
    different,  ///< two files that were compared are not the same
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

/// --db FILE; the environment variable THIRSTLINE_DB is its default.
void declare_database_option(CLI::App& app, std::string& path);

/// The last part of the help: examples, one per line, and the exit codes.
[[nodiscard]] std::string help_footer(std::initializer_list<std::string_view> examples);

}  // namespace thirstline
