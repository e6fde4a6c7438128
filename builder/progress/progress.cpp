#include "builder/progress/progress.hpp"

#include <unistd.h>

#include <chrono>
#include <cstdio>

namespace thirstline {

namespace {
constexpr double kSecondsBetween = 0.2;
}

ProgressStyle progress_style(const std::string& name) {
    if (name == "json") return ProgressStyle::json;
    if (name == "always") return ProgressStyle::line;
    if (name == "auto" && isatty(STDERR_FILENO) == 1) return ProgressStyle::line;
    return ProgressStyle::none;
}

Progress::~Progress() {
    clear_line();
}

void Progress::clear_line() {
    if (!line_is_shown_) return;
    std::fputs("\r\033[K", stderr);
    std::fflush(stderr);
    line_is_shown_ = false;
}

void Progress::at(const std::string& stage, std::int64_t done, std::int64_t total) {
    if (style_ == ProgressStyle::none) return;
    const double now =
        std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
    const bool is_edge = stage != stage_ || (done == total && total > 0);
    if (!is_edge && now - last_ < kSecondsBetween) return;
    stage_ = stage;
    last_ = now;
    if (style_ == ProgressStyle::json) {
        std::fprintf(stderr, "{\"stage\":\"%s\",\"done\":%lld,\"total\":%lld}\n", stage.c_str(),
                     static_cast<long long>(done), static_cast<long long>(total));
    } else {
        std::fprintf(stderr, "\r\033[K%s", stage.c_str());
        if (total > 0) std::fprintf(stderr, ": %lld%%", static_cast<long long>(100 * done / total));
        line_is_shown_ = true;
    }
    std::fflush(stderr);
}

}  // namespace thirstline
