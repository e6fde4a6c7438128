#include "lookup/demand/month_schedule.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>

#include "lookup/demand/day_choices.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {
namespace {

constexpr double kMinuteTolerance = 1e-6;
constexpr int kCutsWithoutHaste = 50;
constexpr double kUnlimited = std::numeric_limits<double>::infinity();

bool is_on(const DayPattern& days, int slot) {
    return (days.slots >> slot & 1U) != 0;
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
    Nights(const std::vector<ZoneTask>& tasks, const ValveLimits& valves, double window_minutes)
        : tasks_(tasks), valves_(valves), window_minutes_(window_minutes) {}

    [[nodiscard]] NightLayout layout(const std::vector<ZoneRuns>& zones,
                                     const std::vector<Night>& nights) const {
        std::vector<NightRun> runs;
        for (std::size_t z = 0; z < zones.size(); ++z)
            runs.push_back({in_clock_minutes(zones[z].cycles), tasks_[z].flow_l_per_min});
        return night_layout(runs, nights, valves_);
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
        return night_layout(runs, {all}, valves_).minutes;
    }

    [[nodiscard]] double window_minutes() const { return window_minutes_; }

  private:
    const std::vector<ZoneTask>& tasks_;
    const ValveLimits& valves_;
    double window_minutes_;
};

struct LongestNight {
    double minutes = 0.0;
    Night zones;
    bool is_single = true;  ///< false: the zones of all nights, because their common layout takes
                            ///< longest
};

/// The longest single night; or the layout of all nights, which has one start time for each cycle,
/// if that takes longer. From `enough_minutes` on, how much longer than the window is of no
/// interest.
LongestNight longest_night(const std::vector<ZoneRuns>& zones, const Nights& nights,
                           double enough_minutes = kUnlimited) {
    LongestNight longest;
    const std::vector<Night> different = nights_of(zones);
    for (const Night& night : different) {
        const double minutes = nights.minutes_of(zones, night);
        if (minutes > longest.minutes) longest = {minutes, night, true};
    }
    if (different.size() < 2) return longest;
    if (longest.minutes > nights.window_minutes() + kMinuteTolerance &&
        longest.minutes >= enough_minutes)
        return longest;
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

/// The zones by the minutes that they need in the month, the longest first.
std::vector<std::size_t> by_minutes(const std::vector<ZoneTask>& tasks) {
    std::vector<std::size_t> order(tasks.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto month_minutes = [&](std::size_t z) {
        return run_minutes(tasks[z].gross_mm, tasks[z].rate_mm_per_h);
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return month_minutes(a) > month_minutes(b);
    });
    return order;
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
        : tasks_(tasks),
          nights_(tasks, limits.valves, limits.window_minutes),
          practical_nights_(tasks, limits.valves,
                            std::min(limits.window_minutes, limits.practical_minutes)),
          order_(by_minutes(tasks)) {
        for (std::size_t z = 0; z < tasks.size(); ++z)
            choices_.emplace_back(tasks[z], *patterns[z]);
    }

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
            attempt.zones.push_back(choices_[z].best(0.0, nullptr));
        attempt.longest = longest_night(attempt.zones, practical_nights_);
        return attempt;
    }

    /// Each zone on the least loaded of its best nights, the longest runs first. Of nights that are
    /// not shorter than `best_minutes` only the zones count.
    [[nodiscard]] Attempt spread_nights(const std::vector<double>& least_days_per_week,
                                        double best_minutes) const {
        Attempt attempt;
        attempt.zones.resize(tasks_.size());
        NightLoads loads{};
        for (const std::size_t z : order_) {
            ZoneRuns& runs = attempt.zones[z];
            runs = choices_[z].best(least_days_per_week[z], &loads);
            for (int slot = 0; slot < kNightSlots; ++slot)
                if (is_on(runs.days, slot))
                    loads[static_cast<std::size_t>(slot)] += runs.minutes_a_day;
        }
        attempt.longest = longest_night(attempt.zones, practical_nights_, best_minutes);
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
            const double next = choices_[z].next_days_per_week(now.days.nominal_per_week);
            if (next == kUnlimited) continue;
            const ZoneRuns& then = choices_[z].best(next, nullptr);
            if (loses_to_caps(then) && !loses_to_caps(now)) continue;
            if (then.is_too_little && !now.is_too_little) continue;
            longest_minutes = now.minutes_a_day;
            more = {z, next};
        }
        return more;
    }

    [[nodiscard]] bool fits(const Attempt& attempt) const {
        return attempt.longest.minutes <= practical_nights_.window_minutes() + kMinuteTolerance;
    }

    [[nodiscard]] Attempt fitted() const {
        Attempt best = shared_nights();
        if (fits(best)) return best;
        std::vector<double> least_days_per_week(tasks_.size(), 0.0);
        Attempt attempt = spread_nights(least_days_per_week, best.longest.minutes);
        while (true) {
            if (attempt.longest.minutes < best.longest.minutes) best = attempt;
            if (fits(best)) return best;
            const MoreDays more = more_days(attempt);
            if (more.per_week == kUnlimited) return best;
            least_days_per_week[more.zone] = more.per_week;
            attempt = spread_nights(least_days_per_week, best.longest.minutes);
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
    mutable std::vector<DayChoices> choices_;  // a cache
    Nights nights_;
    Nights practical_nights_;
    std::vector<std::size_t> order_;  // of the zones, the longest runs first
};

}  // namespace

ZoneRuns runs_of_single_zone(const ZoneTask& task, const std::vector<DayPattern>& patterns) {
    return DayChoices(task, patterns).best(0.0, nullptr);
}

MonthSchedule month_schedule(const std::vector<ZoneTask>& tasks,
                             const std::vector<ZonePatterns>& patterns, const MonthLimits& limits) {
    return MonthPlanner(tasks, patterns, limits).planned();
}

}  // namespace thirstline
