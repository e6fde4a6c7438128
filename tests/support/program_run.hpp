// Runs the two programs as processes: their output and how they end.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace thirstline::test {

struct ProgramRun {
    int status = -1;  ///< the exit code; 128 + the signal's number after a signal
    std::string out;
    std::string err;
};

struct RunOptions {
    std::string standard_output;                       ///< a file to write to; captured if empty
    std::optional<std::int64_t> most_bytes_of_a_file;  ///< limit, to simulate a full disk
    /// Sends SIGINT, or calls `then` instead, once this text has appeared on standard error.
    std::string interrupt_after;
    std::function<void()> then;
};

/// Runs in the C locale and without THIRSTLINE_DB. `arguments` excludes the program's own name.
[[nodiscard]] ProgramRun builder(const std::vector<std::string>& arguments,
                                 const RunOptions& options = {});
[[nodiscard]] ProgramRun lookup(const std::vector<std::string>& arguments,
                                const RunOptions& options = {});

/// One sentence on one line with the program's name, and at most one hint after it; nothing else.
[[nodiscard]] bool is_one_sentence(const std::string& standard_error);

[[nodiscard]] std::string content_of(const std::string& path);
void write_text(const std::string& path, const std::string& text);

/// Names in the folder, sorted.
[[nodiscard]] std::vector<std::string> names_in(const std::string& folder);

}  // namespace thirstline::test
