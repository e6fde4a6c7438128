// What a program is given by the system that runs it. All texts are UTF-8.
//
// Thread safety: StandardStreams once per process; the functions from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace thirstline {

/// While it lives, standard streams carry the bytes that are written, a console shows them as
/// UTF-8, and writing to a closed pipe is an error, not the end of the process.
class StandardStreams {
  public:
    StandardStreams();
    StandardStreams(const StandardStreams&) = delete;
    StandardStreams& operator=(const StandardStreams&) = delete;
    // NOLINTNEXTLINE(performance-trivially-destructible): only on Windows something is restored.
    ~StandardStreams();

    /// False if the program was started with standard output closed.
    [[nodiscard]] bool has_output() const;

  private:
    /// On Windows: the console's encoding before, to be restored; 0 if there is none.
    [[maybe_unused]] unsigned console_encoding_ = 0;
};

/// The arguments of main, the program's name first.
[[nodiscard]] std::vector<std::string> program_arguments(int argc, const char* const* argv);

/// Empty if it is not set.
[[nodiscard]] std::string environment_variable(const char* name);

/// The user's settings, in the form of the environment variables LANG and LC_MEASUREMENT; empty
/// where only these variables say it.
struct UserLocale {
    std::string language;     ///< such as "de_AT.UTF-8"
    std::string measurement;  ///< "en_US" for inches, "C" for the metric system
};
[[nodiscard]] UserLocale user_locale();

/// Width in columns of the terminal on standard output; empty if it is not a terminal.
[[nodiscard]] std::optional<std::size_t> terminal_columns();

}  // namespace thirstline
