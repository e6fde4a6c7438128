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

std::optional<int> max_cycles_on(const ZoneTask& task, const DayPattern& days,
                                 const LocalRules& rules) {
    if (!rules.runs_per_week_cap) return task.max_cycles;
    const int by_rule = *rules.runs_per_week_cap / days.most_in_seven_days;
    return std::min(by_rule, task.max_cycles.value_or(by_rule));
}

/// Minutes a day that so many cycles bring.
double minutes_of_cycles(const ZoneTask& task, const std::optional<int>& max_cycles) {
    if (!max_cycles) return kUnlimited;
    if (*max_cycles == 0) return 0.0;
    return task.longest_cycle_minutes ? *max_cycles * *task.longest_cycle_minutes : kUnlimited;
}

/// Keys the minutes in: to the nearest step, but never down by more than kMinShareOfNeed where the
/// limits allow that; or down.
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

/// Departure of the keyed minutes beyond what rounding may cost, as a share.
double rounding_loss(const ZoneRuns& runs) {
    if (runs.wanted_minutes_a_day <= 0.0) return 0.0;
    const double departure = std::fabs(runs.minutes_a_day / runs.wanted_minutes_a_day - 1.0);
    return std::max(0.0, departure - (1.0 - kMinShareOfNeed));
}

/// Why one choice of days is better than another: the first difference decides, less is better.
using Rank = std::array<double, 9>;

Rank rank_of(const ZoneTask& task, const ZoneRuns& runs, double load_minutes) {
    const DayPattern& days = runs.days;
    // What the caps leave may be less than the controller's next step.
    const double unkeyed_minutes =
        std::max(0.0, kMinShareOfNeed * runs.wanted_minutes_a_day - runs.minutes_a_day);
    const double lost_minutes =
        (runs.lost_to_runs_cap_minutes + runs.lost_to_soil_minutes +
         (runs.limits.most_minutes < runs.wanted_minutes_a_day + task.minute_step ? unkeyed_minutes
                                                                                  : 0.0)) *
        days.days_in_month;
    const double dry_days =
        task.interval_days ? std::max(0, days.longest_gap_days - *task.interval_days) : 0;
    const double above_base = task.base_days_per_week
                                  ? std::max(0.0, days.nominal_per_week - *task.base_days_per_week)
                                  : 0.0;
    const bool is_shallow = is_shallow_on(task, days);
    // At the peak the fewest days; in other months its days as long as they wet the roots.
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
    return runs.lost_to_runs_cap_minutes + runs.lost_to_soil_minutes > kMinuteTolerance;
}

/// Would days that the soil lasts between have runs below kShortestDayMinutes?
bool has_shorter_days(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                      const LocalRules& rules, const DayPattern& chosen) {
    return std::any_of(patterns.begin(), patterns.end(), [&](const DayPattern& days) {
        return days.longest_gap_days < chosen.longest_gap_days &&
               runs_on_days(task, days, rules).wanted_minutes_a_day < kShortestDayMinutes;
    });
}

/// As `best_runs`, with the waits that the task's interval allows.
ZoneRuns best_runs_by_interval(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                               const LocalRules& rules, double least_days_per_week,
                               const Loads* loads) {
    if (task.gross_mm <= 0.0) return {};
    ZoneRuns best;
    Rank best_rank{};
    bool has_one = false;
    for (const DayPattern& days : patterns) {
        if (days.nominal_per_week < least_days_per_week) continue;
        const ZoneRuns runs = runs_on_days(task, days, rules);
        const Rank rank =
            rank_of(task, runs, loads != nullptr ? heaviest_night(*loads, days) : 0.0);
        if (has_one && !(rank < best_rank)) continue;
        best = runs;
        best_rank = rank;
        has_one = true;
    }
    const bool is_dry = task.interval_days && best.days.longest_gap_days > *task.interval_days;
    best.has_days_cut = is_dry && has_shorter_days(task, patterns, rules, best.days);
    // Settings of a trace are not worth a visit to the controller.
    if (best.wanted_minutes_a_day > 0.0 && best.wanted_minutes_a_day < kShortestDayMinutes &&
        !loses_to_caps(best)) {
        best.cycles = {};
        best.minutes_a_day = 0.0;
        best.days = {};
        best.is_too_little = true;
    }
    return best;
}

/// The best days of at least `least_days_per_week` nominally. With loads, the lightest nights of
/// equally good ones; else the first, so that zones share their nights.
ZoneRuns best_runs(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                   const LocalRules& rules, double least_days_per_week, const Loads* loads) {
    ZoneRuns best = best_runs_by_interval(task, patterns, rules, least_days_per_week, loads);
    const bool may_wait_longer = task.wait_with_rain_days > task.interval_days;
    if (best.minutes_a_day <= 0.0 || !may_wait_longer || !is_shallow_on(task, best.days))
        return best;
    ZoneTask waiting = task;
    waiting.interval_days = task.wait_with_rain_days;
    return best_runs_by_interval(waiting, patterns, rules, least_days_per_week, loads);
}

// --- Nights --------------------------------------------------------------------------------------

std::vector<std::size_t> zones_of_night(const std::vector<ZoneRuns>& zones, int slot) {
    std::vector<std::size_t> on;
    for (std::size_t z = 0; z < zones.size(); ++z)
        if (is_on(zones[z].days, slot) && zones[z].cycles.count > 0) on.push_back(z);
    return on;
}

double minutes_of_night(const std::vector<ZoneRuns>& zones, const std::vector<std::size_t>& on) {
    std::vector<Cycles> cycles;
    for (const std::size_t z : on) cycles.push_back(zones[z].cycles);
    return night_minutes(cycles);
}

/// Each different night once: the zones on it.
std::vector<std::vector<std::size_t>> different_nights(const std::vector<ZoneRuns>& zones) {
    std::vector<std::vector<std::size_t>> nights;
    for (int slot = 0; slot < kSlots; ++slot) {
        std::vector<std::size_t> on = zones_of_night(zones, slot);
        if (on.empty() || std::find(nights.begin(), nights.end(), on) != nights.end()) continue;
        nights.push_back(std::move(on));
    }
    return nights;
}

struct LongestNight {
    double minutes = 0.0;
    std::vector<std::size_t> zones;
};

LongestNight longest_night(const std::vector<ZoneRuns>& zones) {
    LongestNight longest;
    for (std::vector<std::size_t>& on : different_nights(zones)) {
        const double minutes = minutes_of_night(zones, on);
        if (minutes > longest.minutes) longest = {minutes, std::move(on)};
    }
    return longest;
}

// --- Fitting the window --------------------------------------------------------------------------

struct Attempt {
    std::vector<ZoneRuns> zones;
    LongestNight longest;
};

/// Every zone on its best days, regardless of the others.
Attempt shared_nights(const std::vector<ZoneTask>& tasks, const std::vector<DayPattern>& patterns,
                      const LocalRules& rules) {
    Attempt attempt;
    for (const ZoneTask& task : tasks)
        attempt.zones.push_back(best_runs(task, patterns, rules, 0.0, nullptr));
    attempt.longest = longest_night(attempt.zones);
    return attempt;
}

/// Each zone on the lightest of its best nights, the longest runs first.
Attempt spread_nights(const std::vector<ZoneTask>& tasks, const std::vector<DayPattern>& patterns,
                      const LocalRules& rules, const std::vector<double>& least_days_per_week) {
    std::vector<std::size_t> order(tasks.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto month_minutes = [&](std::size_t z) {
        return run_minutes(tasks[z].gross_mm, tasks[z].rate_mm_per_h);
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return month_minutes(a) > month_minutes(b);
    });
    Attempt attempt;
    attempt.zones.resize(tasks.size());
    Loads loads{};
    for (const std::size_t z : order) {
        ZoneRuns& runs = attempt.zones[z];
        runs = best_runs(tasks[z], patterns, rules, least_days_per_week[z], &loads);
        for (int slot = 0; slot < kSlots; ++slot)
            if (is_on(runs.days, slot)) loads[static_cast<std::size_t>(slot)] += runs.minutes_a_day;
    }
    attempt.longest = longest_night(attempt.zones);
    return attempt;
}

double next_days_per_week(const std::vector<DayPattern>& patterns, double above) {
    double next = kUnlimited;
    for (const DayPattern& days : patterns)
        if (days.nominal_per_week > above) next = std::min(next, days.nominal_per_week);
    return next;
}

/// The zone of the longest night that runs longest and could be watered on more days, with that
/// next number of days; nothing to be done gives kUnlimited.
struct MoreDays {
    std::size_t zone = 0;
    double per_week = kUnlimited;
};

MoreDays more_days(const Attempt& attempt, const std::vector<ZoneTask>& tasks,
                   const std::vector<DayPattern>& patterns, const LocalRules& rules) {
    MoreDays more;
    double longest_minutes = 0.0;
    for (const std::size_t z : attempt.longest.zones) {
        const ZoneRuns& now = attempt.zones[z];
        if (now.minutes_a_day <= longest_minutes) continue;
        const double next = next_days_per_week(patterns, now.days.nominal_per_week);
        if (next == kUnlimited) continue;
        const ZoneRuns then = best_runs(tasks[z], patterns, rules, next, nullptr);
        if (loses_to_caps(then) && !loses_to_caps(now)) continue;
        longest_minutes = now.minutes_a_day;
        more = {z, next};
    }
    return more;
}

Attempt fitted(const std::vector<ZoneTask>& tasks, const std::vector<DayPattern>& patterns,
               const LocalRules& rules, double window_minutes) {
    const auto fits = [&](const Attempt& attempt) {
        return attempt.longest.minutes <= window_minutes + kMinuteTolerance;
    };
    Attempt best = shared_nights(tasks, patterns, rules);
    if (fits(best)) return best;
    std::vector<double> least_days_per_week(tasks.size(), 0.0);
    Attempt attempt = spread_nights(tasks, patterns, rules, least_days_per_week);
    while (true) {
        if (attempt.longest.minutes < best.longest.minutes) best = attempt;
        if (fits(best)) return best;
        const MoreDays more = more_days(attempt, tasks, patterns, rules);
        if (more.per_week == kUnlimited) return best;
        least_days_per_week[more.zone] = more.per_week;
        attempt = spread_nights(tasks, patterns, rules, least_days_per_week);
    }
}

/// Scales the runs of the zones of one night until it fits; the share found is feasible itself, for
/// a night may grow as a run shrinks when the turn goes round otherwise.
void cut_night(std::vector<ZoneRuns>& zones, const std::vector<std::size_t>& on,
               double window_minutes) {
    const std::vector<ZoneRuns> whole = zones;
    const auto scale = [&](double share) {
        for (const std::size_t z : on) set_minutes(zones[z], whole[z].minutes_a_day * share, true);
        return minutes_of_night(zones, on);
    };
    double feasible = 0.0;
    double too_much = 1.0;
    for (int halving = 0; halving < 40; ++halving) {
        const double middle = (feasible + too_much) / 2.0;
        (scale(middle) <= window_minutes ? feasible : too_much) = middle;
    }
    scale(feasible);
}

void cut_to_window(std::vector<ZoneRuns>& zones, double window_minutes) {
    const std::vector<ZoneRuns> whole = zones;
    double target_minutes = window_minutes;
    LongestNight longest = longest_night(zones);
    for (int round = 0; longest.minutes > window_minutes + kMinuteTolerance; ++round) {
        cut_night(zones, longest.zones, target_minutes);
        longest = longest_night(zones);
        // A night may grow as another's runs shrink; should that go on, cut deeper and be done.
        if (round > kCutsWithoutHaste) target_minutes *= 0.9;
    }
    for (std::size_t z = 0; z < zones.size(); ++z)
        zones[z].lost_to_window_minutes = whole[z].minutes_a_day - zones[z].minutes_a_day;
}

}  // namespace

ZoneRuns runs_on_days(const ZoneTask& task, const DayPattern& days, const LocalRules& rules) {
    ZoneRuns runs;
    runs.days = days;
    const auto minutes_of = [&](double month_mm) {
        return run_minutes(month_mm / days.days_in_month, task.rate_mm_per_h);
    };
    const std::optional<int> max_cycles = max_cycles_on(task, days, rules);
    const double by_cycles = minutes_of_cycles(task, max_cycles);
    const double by_soil = run_minutes(task.root_zone_mm * task.gross_per_net, task.rate_mm_per_h);
    const double wanted = minutes_of(task.gross_mm);
    const double under_cap = std::min(wanted, by_cycles);
    const double held = std::min(under_cap, by_soil);
    runs.lost_to_runs_cap_minutes = wanted - under_cap;
    runs.lost_to_soil_minutes = under_cap - held;
    runs.wanted_minutes_a_day = held;
    runs.limits = {task.longest_cycle_minutes, task.soak_minutes, task.minute_step, max_cycles,
                   std::min(by_cycles, by_soil)};
    if (task.most_mm_a_week) {
        // No seven days get more than the rule allows.
        const double days_a_week = std::max<double>(days.most_in_seven_days, days.nominal_per_week);
        runs.limits.most_minutes =
            std::min(runs.limits.most_minutes,
                     run_minutes(*task.most_mm_a_week / days_a_week, task.rate_mm_per_h));
    }
    if (held > 0.0) set_minutes(runs, held, task.rounds_down);
    return runs;
}

ZoneRuns runs_of_single_zone(const ZoneTask& task, const std::vector<DayPattern>& patterns,
                             const LocalRules& rules) {
    return best_runs(task, patterns, rules, 0.0, nullptr);
}

MonthSchedule month_schedule(const std::vector<ZoneTask>& tasks,
                             const std::vector<DayPattern>& patterns, const LocalRules& rules) {
    const double window_minutes =
        rules.window_hours ? *rules.window_hours * kMinutesPerHour : kUnlimited;
    Attempt attempt = fitted(tasks, patterns, rules, window_minutes);
    MonthSchedule schedule;
    schedule.wanted_night_minutes = attempt.longest.minutes;
    for (const std::size_t z : attempt.longest.zones)
        schedule.wanted_open_minutes += attempt.zones[z].minutes_a_day;
    cut_to_window(attempt.zones, window_minutes);
    schedule.longest_night_minutes = longest_night(attempt.zones).minutes;
    schedule.zones = std::move(attempt.zones);
    return schedule;
}

}  // namespace thirstline
