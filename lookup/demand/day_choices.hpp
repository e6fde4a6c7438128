// The days on which a zone is watered in a month: its runs on every pattern of days, computed once,
// and the best of them.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "lookup/demand/month_schedule.hpp"

namespace thirstline {

using NightLoads = std::array<double, kNightSlots>;  ///< minutes of each night

/// Criteria for comparing choices of days: the first difference decides, less is better.
using DaysRank = std::array<double, 8>;

/// Sets whole steps of the controller for these minutes: the nearest, but never down by more than
/// kMinShareOfNeed allows if the limits permit that; or always down.
void set_minutes(ZoneRuns& runs, double minutes_a_day, bool rounds_down);

/// Whether limits on cycles, minutes or the soil take water from the zone.
[[nodiscard]] bool loses_to_caps(const ZoneRuns& runs);

/// The choices of one zone in one month. Keeps references: task and patterns must outlive it.
class DayChoices {
  public:
    DayChoices(const ZoneTask& task, const std::vector<DayPattern>& patterns);

    /// The best days of at least `least_days_per_week` nominally. With loads, the days with the
    /// least loaded nights among equally good ones; otherwise the first, so that zones share their
    /// nights. No runs if there are no such days.
    [[nodiscard]] const ZoneRuns& best(double least_days_per_week, const NightLoads* loads);

    /// The next number of days a week that is more; infinite if there is none.
    [[nodiscard]] double next_days_per_week(double above) const;

  private:
    /// Choices for one longest interval between waterings; all are computed when first needed.
    struct ByInterval {
        std::optional<int> interval_days;
        std::vector<DaysRank> ranks;                 ///< by pattern
        std::vector<std::vector<std::size_t>> best;  ///< by first pattern: equally good ones
        std::vector<std::optional<ZoneRuns>> runs;   ///< by pattern, complete
    };

    [[nodiscard]] const ZoneRuns& best_by(ByInterval& choices, double least_days_per_week,
                                          const NightLoads* loads);
    [[nodiscard]] const ZoneRuns& complete_runs(ByInterval& choices, std::size_t pattern) const;
    void rank_patterns(ByInterval& choices) const;

    const ZoneTask& task_;
    const std::vector<DayPattern>& patterns_;
    std::vector<ZoneRuns> runs_;  ///< by pattern
    ByInterval without_rain_;
    ByInterval with_rain_;
    ZoneRuns none_;
};

}  // namespace thirstline
