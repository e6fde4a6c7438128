#include "builder/progress/stage_clock.hpp"

#include <sys/resource.h>

#include <chrono>

namespace thirstline {

namespace {

double now_seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

double peak_memory_mb() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

}  // namespace

StageClock::StageClock() : since_(now_seconds()) {}

void StageClock::ended(const std::string& stage) {
    const double now = now_seconds();
    stages_.push_back({stage, now - since_, peak_memory_mb()});
    since_ = now;
}

}  // namespace thirstline
