// Reports the progress of a build to a person or a program. Always on stderr.
#pragma once

#include <cstdint>
#include <string>

namespace thirstline {

enum class ProgressStyle {
    none,
    line,  ///< one line that is overwritten, for a terminal
    json,  ///< one JSON object per line: {"stage":"…","done":3,"total":46}
};

/// "auto" (a line if stderr is a terminal), "always", "never" or "json".
[[nodiscard]] ProgressStyle progress_style(const std::string& name);

class Progress {
  public:
    explicit Progress(ProgressStyle style) : style_(style) {}
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    /// Written at the start and end of the stage, and in between at most five times per second.
    /// `total` is 0 if it is not known.
    void at(const std::string& stage, std::int64_t done, std::int64_t total);

  private:
    void clear_line();

    ProgressStyle style_;
    std::string stage_;
    double last_ = 0.0;
    bool line_is_shown_ = false;
};

}  // namespace thirstline
