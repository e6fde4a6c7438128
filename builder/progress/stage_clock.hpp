// Seconds and peak memory of each stage of a build, for its report.
#pragma once

#include <string>
#include <vector>

namespace thirstline {

struct StageFigures {
    std::string name;
    double seconds = 0.0;
    double peak_memory_mb = 0.0;  ///< of the process, up to the stage's end
};

class StageClock {
  public:
    StageClock();
    /// Ends the stage that began at the last call, or at construction of the clock.
    void ended(const std::string& stage);
    [[nodiscard]] const std::vector<StageFigures>& stages() const { return stages_; }

  private:
    double since_ = 0.0;
    std::vector<StageFigures> stages_;
};

}  // namespace thirstline
