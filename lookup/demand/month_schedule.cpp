#include "lookup/demand/month_schedule.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {
namespace {

constexpr int kSlots = 31;
constexpr double kMinuteTolerance = 1e-6;
constexpr int kCutsWithoutHaste = 50;
constexpr double kUnlimited = std::numeric_limits<double>::infinity();

using Loads = std::array<double, kSlots>;  // minutes of each night

bool is_on(const DayPattern& days, int slot) {
    return (days.slots >> slot & 1U) != 0;
}

/// The lowest limit on cycles per day.
struct MaxCycles {
    std::optional<int> count;
    CyclesCap by = CyclesCap::none;

    void limit_to(const std::optional<int>& cycles, CyclesCap cap) {
        if (!cycles || (count && *count <= *cycles)) return;
        count = cycles;
        by = cap;
    }
};

MaxCycles max_cycles_on(const ZoneTask& task, const DayPattern& days) {
    MaxCycles most;
    if (task.max_runs_a_week) {
        most.limit_to(*task.max_runs_a_week / std::max(1, days.most_in_seven_days),
                      CyclesCap::runs_per_week);
    }
    most.limit_to(task.max_cycles_by_rule, CyclesCap::cycles_per_day);
    most.limit_to(task.max_cycles, CyclesCap::controller);
    return most;
}

/// Minutes per day of this number of cycles.
double minutes_of_cycles(const ZoneTask& task, const std::optional<int>& max_cycles) {
    if (!max_cycles) return kUnlimited;
    if (*max_cycles == 0) return 0.0;
    return task.longest_cycle_minutes ? *max_cycles * *task.longest_cycle_minutes : kUnlimited;
}

/// Rounds the minutes to the controller's steps: to the nearest step, but never down by more than
/// kMinShareOfNeed allows if the limits permit that; or always down.
void set_minutes(ZoneRuns& runs, double minutes_a_day, bool rounds_down) {
    RunLimits limits = runs.limits;
    if (rounds_down) limits.most_minutes = std::min(limits.most_minutes, minutes_a_day);
    runs.cycles = keyed_cycles(minutes_a_day, limits, kMinShareOfNeed);
    runs.minutes_a_day = runs.cycles.count * runs.cycles.minutes_each;
}

bool is_shallow_on(const ZoneTask& task, const DayPattern& days) {
    return is_shallow_watering(task.gross_mm / task.gross_per_net / days.days_in_month,
                               task.usable_storage_mm);
}

/// Deviation of the set minutes beyond the rounding tolerance, as a share.
double rounding_loss(const ZoneRuns& runs) {
    if (runs.wanted_minutes_a_day <= 0.0) return 0.0;
    const double departure = std::fabs(runs.minutes_a_day / runs.wanted_minutes_a_day - 1.0);
    return std::max(0.0, departure - (1.0 - kMinShareOfNeed));
}

/// Criteria for comparing choices of days: the first difference decides, less is better.
using Rank = std::array<double, 9>;

Rank rank_of(const ZoneTask& task, const ZoneRuns& runs, double load_minutes) {
    const DayPattern& days = runs.days;
    // The caps may allow less than the controller's next step.
    const double unkeyed_minutes =
        std::max(0.0, kMinShareOfNeed * runs.wanted_minutes_a_day - runs.minutes_a_day);
    const double lost_minutes =
        (runs.lost_to_runs_cap_minutes + runs.lost_to_minutes_cap_minutes +
         runs.lost_to_soil_minutes +
         (runs.limits.most_minutes < runs.wanted_minutes_a_day + task.minute_step ? unkeyed_minutes
                                                                                  : 0.0)) *
        days.days_in_month;
    const double dry_days =
        task.interval_days ? std::max(0, days.longest_gap_days - *task.interval_days) : 0;
    const double above_base = task.base_days_per_week
                                  ? std::max(0.0, days.nominal_per_week - *task.base_days_per_week)
                                  : 0.0;
    const bool is_shallow = is_shallow_on(task, days);
    // The fewest days at the peak; in other months the days of the peak, as long as they wet the
    // roots.
    const bool keeps_days = task.base_days_per_week && !is_shallow;
    return {lost_minutes < kMinuteTolerance ? 0.0 : lost_minutes,
            runs.wanted_minutes_a_day < kShortestDayMinutes ? 1.0 : 0.0,
            dry_days,
            above_base,
            task.base_days_per_week && is_shallow ? 1.0 : 0.0,
            rounding_loss(runs),
            keeps_days ? -days.nominal_per_week : days.nominal_per_week,
            static_cast<double>(days.longest_gap_days),
            load_minutes};
}

double heaviest_night(const Loads& loads, const DayPattern& days) {
    double heaviest = 0.0;
    for (int slot = 0; slot < kSlots; ++slot)
        if (is_on(days, slot)) heaviest = std::max(heaviest, loads[static_cast<std::size_t>(slot)]);
    return heaviest;
}

bool loses_to_caps(const ZoneRuns& runs) {
    return runs.lost_to_runs_cap_minutes + runs.lost_to_minutes_cap_minutes +
               runs.lost_to_soil_minutes >
           kMinuteTolerance;
}

/// Whether the days that the soil needs would have runs below kShortestDayMinutes.
bool has_shorter_days(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                      const DayPattern& chosen) {
    return std::any_of(patterns.begin(), patterns.end(), [&](const DayPattern& days) {
        return days.longest_gap_days < chosen.longest_gap_days &&
               runs_on_days(task, days).wanted_minutes_a_day < kShortestDayMinutes;
    });
}

/// As `best_runs`, with the intervals that the task allows.
ZoneRuns best_runs_by_interval(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                               double least_days_per_week, const Loads* loads) {
    if (task.gross_mm <= 0.0) return {};
    ZoneRuns best;
    Rank best_rank{};
    bool has_one = false;
    for (const DayPattern& days : patterns) {
        if (days.nominal_per_week < least_days_per_week) continue;
        const ZoneRuns runs = runs_on_days(task, days);
        const Rank rank =
            rank_of(task, runs, loads != nullptr ? heaviest_night(*loads, days) : 0.0);
        if (has_one && !(rank < best_rank)) continue;
        best = runs;
        best_rank = rank;
        has_one = true;
    }
    const bool is_dry = task.interval_days && best.days.longest_gap_days > *task.interval_days;
    best.has_days_cut = is_dry && has_shorter_days(task, patterns, best.days);
    // Very small settings do not justify a visit to the controller.
    if (best.wanted_minutes_a_day > 0.0 && best.wanted_minutes_a_day < kShortestDayMinutes &&
        !loses_to_caps(best)) {
        best.cycles = {};
        best.minutes_a_day = 0.0;
        best.days = {};
        best.is_too_little = true;
    }
    return best;
}

/// The best days of at least `least_days_per_week` nominally. With loads, the days with the least
/// loaded nights among equally good ones; otherwise the first, so that zones share their nights.
ZoneRuns best_runs(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                   double least_days_per_week, const Loads* loads) {
    ZoneRuns best = best_runs_by_interval(task, patterns, least_days_per_week, loads);
    const bool may_wait_longer = task.wait_with_rain_days > task.interval_days;
    if (best.minutes_a_day <= 0.0 || !may_wait_longer || !is_shallow_on(task, best.days))
        return best;
    ZoneTask waiting = task;
    waiting.interval_days = task.wait_with_rain_days;
    return best_runs_by_interval(waiting, patterns, least_days_per_week, loads);
}

double next_days_per_week(const std::vector<DayPattern>& patterns, double above) {
    double next = kUnlimited;
    for (const DayPattern& days : patterns)
        if (days.nominal_per_week > above) next = std::min(next, days.nominal_per_week);
    return next;
}

// --- Nights --------------------------------------------------------------------------------------

/// Each distinct night once: the zones that run in it.
std::vector<Night> nights_of(const std::vector<ZoneRuns>& zones) {
    std::vector<DayPattern> days;
    for (const ZoneRuns& runs : zones)
        days.push_back(runs.cycles.count > 0 ? runs.days : DayPattern{});
    return different_nights(days);
}

/// Runs of one month and their common limits.
class Nights {
  public:
    Nights(const std::vector<ZoneTask>& tasks, const MonthLimits& limits)
        : tasks_(tasks), limits_(limits) {}

    [[nodiscard]] NightLayout layout(const std::vector<ZoneRuns>& zones,
                                     const std::vector<Night>& nights) const {
        std::vector<NightRun> runs;
        for (std::size_t z = 0; z < zones.size(); ++z)
            runs.push_back({in_clock_minutes(zones[z].cycles), tasks_[z].flow_l_per_min});
        return night_layout(runs, nights, limits_.valves);
    }

    [[nodiscard]] NightLayout layout(const std::vector<ZoneRuns>& zones) const {
        return layout(zones, nights_of(zones));
    }

    [[nodiscard]] double minutes_of(const std::vector<ZoneRuns>& zones, const Night& night) const {
        std::vector<NightRun> runs;
        for (const std::size_t z : night)
            runs.push_back({in_clock_minutes(zones[z].cycles), tasks_[z].flow_l_per_min});
        Night all(night.size());
        std::iota(all.begin(), all.end(), std::size_t{0});
        return night_layout(runs, {all}, limits_.valves).minutes;
    }

    [[nodiscard]] double window_minutes() const { return limits_.window_minutes; }

  private:
    const std::vector<ZoneTask>& tasks_;
    const MonthLimits& limits_;
};

struct LongestNight {
    double minutes = 0.0;
    Night zones;
    bool is_single = true;  ///< false: the zones of all nights, because their common layout takes
                            ///< longest
};

/// The longest single night; or the layout of all nights, which has one start time for each cycle,
/// if that takes longer.
LongestNight longest_night(const std::vector<ZoneRuns>& zones, const Nights& nights) {
    LongestNight longest;
    const std::vector<Night> different = nights_of(zones);
    for (const Night& night : different) {
        const double minutes = nights.minutes_of(zones, night);
        if (minutes > longest.minutes) longest = {minutes, night, true};
    }
    if (different.size() < 2) return longest;
    const double of_all = nights.layout(zones, different).minutes;
    if (of_all <= longest.minutes) return longest;
    if (longest.minutes <= nights.window_minutes() + kMinuteTolerance) {
        longest.is_single = false;
        longest.zones.clear();
        for (std::size_t z = 0; z < zones.size(); ++z)
            if (zones[z].cycles.count > 0) longest.zones.push_back(z);
    }
    longest.minutes = of_all;
    return longest;
}

// --- Fitting the window --------------------------------------------------------------------------

struct Attempt {
    std::vector<ZoneRuns> zones;
    LongestNight longest;
};

/// Chooses the days of all zones of a month.
class MonthPlanner {
  public:
    MonthPlanner(const std::vector<ZoneTask>& tasks, const std::vector<ZonePatterns>& patterns,
                 const MonthLimits& limits)
        : tasks_(tasks), patterns_(patterns), nights_(tasks, limits) {}

    [[nodiscard]] MonthSchedule planned() const {
        Attempt attempt = fitted();
        MonthSchedule schedule;
        schedule.wanted_night_minutes = attempt.longest.minutes;
        for (const std::size_t z : attempt.longest.zones)
            schedule.wanted_open_minutes += attempt.zones[z].minutes_a_day;
        cut_to_window(attempt.zones);
        NightLayout layout = nights_.layout(attempt.zones);
        schedule.longest_night_minutes = layout.minutes;
        schedule.starts = std::move(layout.starts);
        schedule.zones = std::move(attempt.zones);
        return schedule;
    }

  private:
    /// Every zone on its best days, regardless of the other zones.
    [[nodiscard]] Attempt shared_nights() const {
        Attempt attempt;
        for (std::size_t z = 0; z < tasks_.size(); ++z)
            attempt.zones.push_back(best_runs(tasks_[z], *patterns_[z], 0.0, nullptr));
        attempt.longest = longest_night(attempt.zones, nights_);
        return attempt;
    }

    /// Each zone on the least loaded of its best nights, the longest runs first.
    [[nodiscard]] Attempt spread_nights(const std::vector<double>& least_days_per_week) const {
        std::vector<std::size_t> order(tasks_.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        const auto month_minutes = [&](std::size_t z) {
            return run_minutes(tasks_[z].gross_mm, tasks_[z].rate_mm_per_h);
        };
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return month_minutes(a) > month_minutes(b);
        });
        Attempt attempt;
        attempt.zones.resize(tasks_.size());
        Loads loads{};
        for (const std::size_t z : order) {
            ZoneRuns& runs = attempt.zones[z];
            runs = best_runs(tasks_[z], *patterns_[z], least_days_per_week[z], &loads);
            for (int slot = 0; slot < kSlots; ++slot)
                if (is_on(runs.days, slot))
                    loads[static_cast<std::size_t>(slot)] += runs.minutes_a_day;
        }
        attempt.longest = longest_night(attempt.zones, nights_);
        return attempt;
    }

    /// The zone with the longest runs in the longest night that could be watered on more days, with
    /// that next number of days; kUnlimited if there is none.
    struct MoreDays {
        std::size_t zone = 0;
        double per_week = kUnlimited;
    };

    [[nodiscard]] MoreDays more_days(const Attempt& attempt) const {
        MoreDays more;
        double longest_minutes = 0.0;
        for (const std::size_t z : attempt.longest.zones) {
            const ZoneRuns& now = attempt.zones[z];
            if (now.minutes_a_day <= longest_minutes) continue;
            const double next = next_days_per_week(*patterns_[z], now.days.nominal_per_week);
            if (next == kUnlimited) continue;
            const ZoneRuns then = best_runs(tasks_[z], *patterns_[z], next, nullptr);
            if (loses_to_caps(then) && !loses_to_caps(now)) continue;
            longest_minutes = now.minutes_a_day;
            more = {z, next};
        }
        return more;
    }

    [[nodiscard]] bool fits(const Attempt& attempt) const {
        return attempt.longest.minutes <= nights_.window_minutes() + kMinuteTolerance;
    }

    [[nodiscard]] Attempt fitted() const {
        Attempt best = shared_nights();
        if (fits(best)) return best;
        std::vector<double> least_days_per_week(tasks_.size(), 0.0);
        Attempt attempt = spread_nights(least_days_per_week);
        while (true) {
            if (attempt.longest.minutes < best.longest.minutes) best = attempt;
            if (fits(best)) return best;
            const MoreDays more = more_days(attempt);
            if (more.per_week == kUnlimited) return best;
            least_days_per_week[more.zone] = more.per_week;
            attempt = spread_nights(least_days_per_week);
        }
    }

    /// Scales the runs of these zones until all nights that they share fit. The share found is
    /// itself feasible: a night may become longer as a run becomes shorter, if that changes the
    /// order of the cycles.
    void cut_zones(std::vector<ZoneRuns>& zones, const LongestNight& longest,
                   double minutes) const {
        const std::vector<ZoneRuns> whole = zones;
        const auto scale = [&](double share) {
            for (const std::size_t z : longest.zones)
                set_minutes(zones[z], whole[z].minutes_a_day * share, true);
            return longest.is_single ? nights_.minutes_of(zones, longest.zones)
                                     : nights_.layout(zones).minutes;
        };
        double feasible = 0.0;
        double too_much = 1.0;
        for (int halving = 0; halving < 40; ++halving) {
            const double middle = (feasible + too_much) / 2.0;
            (scale(middle) <= minutes ? feasible : too_much) = middle;
        }
        scale(feasible);
    }

    void cut_to_window(std::vector<ZoneRuns>& zones) const {
        const std::vector<ZoneRuns> whole = zones;
        const double window_minutes = nights_.window_minutes();
        double target_minutes = window_minutes;
        LongestNight longest = longest_night(zones, nights_);
        for (int round = 0; longest.minutes > window_minutes + kMinuteTolerance; ++round) {
            cut_zones(zones, longest, target_minutes);
            longest = longest_night(zones, nights_);
            // A night may become longer as another zone's runs shrink; if that continues, a deeper
            // cut ends it.
            if (round > kCutsWithoutHaste) target_minutes *= 0.9;
        }
        for (std::size_t z = 0; z < zones.size(); ++z)
            zones[z].lost_to_window_minutes = whole[z].minutes_a_day - zones[z].minutes_a_day;
    }

    const std::vector<ZoneTask>& tasks_;
    const std::vector<ZonePatterns>& patterns_;
    Nights nights_;
};

}  // namespace

ZoneRuns runs_on_days(const ZoneTask& task, const DayPattern& days) {
    ZoneRuns runs;
    runs.days = days;
    const auto minutes_of = [&](double month_mm) {
        return run_minutes(month_mm / days.days_in_month, task.rate_mm_per_h);
    };
    const MaxCycles most = max_cycles_on(task, days);
    const double by_cycles = minutes_of_cycles(task, most.count);
    const double by_minutes = task.most_minutes_a_day.value_or(kUnlimited);
    const double by_soil = run_minutes(task.root_zone_mm * task.gross_per_net, task.rate_mm_per_h);
    const double wanted = minutes_of(task.gross_mm);
    const double in_cycles = std::min(wanted, by_cycles);
    const double in_minutes = std::min(in_cycles, by_minutes);
    const double in_soil = std::min(in_minutes, by_soil);
    runs.lost_to_runs_cap_minutes = wanted - in_cycles;
    runs.runs_cap = most.by;
    runs.lost_to_minutes_cap_minutes = in_cycles - in_minutes;
    runs.lost_to_soil_minutes = in_minutes - in_soil;
    runs.wanted_minutes_a_day = in_soil;
    runs.limits = {task.longest_cycle_minutes, task.soak_minutes, task.minute_step, most.count,
                   std::min({by_cycles, by_minutes, by_soil})};
    if (task.most_mm_a_week) {
        // No seven days may get more than the rule allows.
        const double days_a_week = std::max<double>(days.most_in_seven_days, days.nominal_per_week);
        runs.limits.most_minutes =
            std::min(runs.limits.most_minutes,
                     run_minutes(*task.most_mm_a_week / days_a_week, task.rate_mm_per_h));
    }
    if (in_soil > 0.0) set_minutes(runs, in_soil, task.rounds_down);
    return runs;
}

ZoneRuns runs_of_single_zone(const ZoneTask& task, const std::vector<DayPattern>& patterns) {
    return best_runs(task, patterns, 0.0, nullptr);
}

MonthSchedule month_schedule(const std::vector<ZoneTask>& tasks,
                             const std::vector<ZonePatterns>& patterns, const MonthLimits& limits) {
    return MonthPlanner(tasks, patterns, limits).planned();
}

}  // namespace thirstline
