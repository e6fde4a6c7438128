#include "lookup/demand/day_choices.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "lookup/demand/irrigation_depth.hpp"

namespace thirstline {
namespace {

constexpr double kTraceMinutes = 1e-6;
constexpr double kNoLimit = std::numeric_limits<double>::infinity();

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
    if (!max_cycles) return kNoLimit;
    if (*max_cycles == 0) return 0.0;
    return task.longest_cycle_minutes ? *max_cycles * *task.longest_cycle_minutes : kNoLimit;
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

DaysRank rank_of(const ZoneTask& task, const ZoneRuns& runs,
                 const std::optional<int>& interval_days) {
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
    const double dry_days = interval_days ? std::max(0, days.longest_gap_days - *interval_days) : 0;
    const double above_base = task.base_days_per_week
                                  ? std::max(0.0, days.nominal_per_week - *task.base_days_per_week)
                                  : 0.0;
    const bool is_shallow = is_shallow_on(task, days);
    // The fewest days at the peak; in other months the days of the peak, as long as they wet the
    // roots.
    const bool keeps_days = task.base_days_per_week && !is_shallow;
    return {lost_minutes < kTraceMinutes ? 0.0 : lost_minutes,
            runs.wanted_minutes_a_day < kShortestDayMinutes ? 1.0 : 0.0,
            dry_days,
            above_base,
            task.base_days_per_week && is_shallow ? 1.0 : 0.0,
            rounding_loss(runs),
            keeps_days ? -days.nominal_per_week : days.nominal_per_week,
            static_cast<double>(days.longest_gap_days)};
}

double heaviest_night(const NightLoads& loads, const DayPattern& days) {
    double heaviest = 0.0;
    for (int slot = 0; slot < kNightSlots; ++slot)
        if ((days.slots >> slot & 1U) != 0)
            heaviest = std::max(heaviest, loads[static_cast<std::size_t>(slot)]);
    return heaviest;
}

}  // namespace

/// Rounds the minutes to the controller's steps: to the nearest step, but never down by more than
/// kMinShareOfNeed allows if the limits permit that; or always down.
void set_minutes(ZoneRuns& runs, double minutes_a_day, bool rounds_down) {
    RunLimits limits = runs.limits;
    if (rounds_down) limits.most_minutes = std::min(limits.most_minutes, minutes_a_day);
    runs.cycles = keyed_cycles(minutes_a_day, limits, kMinShareOfNeed);
    runs.minutes_a_day = runs.cycles.count * runs.cycles.minutes_each;
}

bool loses_to_caps(const ZoneRuns& runs) {
    return runs.lost_to_runs_cap_minutes + runs.lost_to_minutes_cap_minutes +
               runs.lost_to_soil_minutes >
           kTraceMinutes;
}

ZoneRuns runs_on_days(const ZoneTask& task, const DayPattern& days) {
    ZoneRuns runs;
    runs.days = days;
    const auto minutes_of = [&](double month_mm) {
        return run_minutes(month_mm / days.days_in_month, task.rate_mm_per_h);
    };
    const MaxCycles most = max_cycles_on(task, days);
    const double by_cycles = minutes_of_cycles(task, most.count);
    const double by_minutes = task.most_minutes_a_day.value_or(kNoLimit);
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

DayChoices::DayChoices(const ZoneTask& task, const std::vector<DayPattern>& patterns)
    : task_(task), patterns_(patterns) {
    without_rain_.interval_days = task.interval_days;
    with_rain_.interval_days = task.wait_with_rain_days;
    if (task.gross_mm <= 0.0) return;
    for (const DayPattern& days : patterns) runs_.push_back(runs_on_days(task, days));
}

const ZoneRuns& DayChoices::best(double least_days_per_week, const NightLoads* loads) {
    const ZoneRuns& runs = best_by(without_rain_, least_days_per_week, loads);
    const bool may_wait_longer = task_.wait_with_rain_days > task_.interval_days;
    if (runs.minutes_a_day <= 0.0 || !may_wait_longer || !is_shallow_on(task_, runs.days))
        return runs;
    return best_by(with_rain_, least_days_per_week, loads);
}

double DayChoices::next_days_per_week(double above) const {
    double next = kNoLimit;
    for (const DayPattern& days : patterns_)
        if (days.nominal_per_week > above) next = std::min(next, days.nominal_per_week);
    return next;
}

void DayChoices::rank_patterns(ByInterval& choices) const {
    for (const ZoneRuns& runs : runs_)
        choices.ranks.push_back(rank_of(task_, runs, choices.interval_days));
    choices.best.resize(runs_.size());
    choices.runs.resize(runs_.size());
}

const ZoneRuns& DayChoices::best_by(ByInterval& choices, double least_days_per_week,
                                    const NightLoads* loads) {
    // Patterns are in order of their days a week.
    const auto first = std::partition_point(runs_.begin(), runs_.end(), [&](const ZoneRuns& runs) {
        return runs.days.nominal_per_week < least_days_per_week;
    });
    if (first == runs_.end()) return none_;
    if (choices.ranks.empty()) rank_patterns(choices);
    const auto from = static_cast<std::size_t>(first - runs_.begin());
    std::vector<std::size_t>& best = choices.best[from];
    if (best.empty()) {
        const DaysRank least =
            *std::min_element(choices.ranks.begin() + (first - runs_.begin()), choices.ranks.end());
        for (std::size_t p = from; p < runs_.size(); ++p)
            if (choices.ranks[p] == least) best.push_back(p);
    }
    std::size_t chosen = best.front();
    if (loads != nullptr && best.size() > 1) {
        double least_minutes = kNoLimit;
        for (const std::size_t p : best) {
            const double minutes = heaviest_night(*loads, patterns_[p]);
            if (minutes >= least_minutes) continue;
            least_minutes = minutes;
            chosen = p;
        }
    }
    return complete_runs(choices, chosen);
}

const ZoneRuns& DayChoices::complete_runs(ByInterval& choices, std::size_t pattern) const {
    std::optional<ZoneRuns>& known = choices.runs[pattern];
    if (known) return *known;
    ZoneRuns runs = runs_[pattern];
    const auto has_runs_of_shorter_days = [&] {
        // The days that the soil needs would have runs below kShortestDayMinutes.
        return std::any_of(runs_.begin(), runs_.end(), [&](const ZoneRuns& other) {
            return other.days.longest_gap_days < runs.days.longest_gap_days &&
                   other.wanted_minutes_a_day < kShortestDayMinutes;
        });
    };
    const bool is_dry =
        choices.interval_days && runs.days.longest_gap_days > *choices.interval_days;
    runs.has_days_cut = is_dry && has_runs_of_shorter_days();
    // Very small settings do not justify a visit to the controller.
    if (runs.wanted_minutes_a_day > 0.0 && runs.wanted_minutes_a_day < kShortestDayMinutes &&
        !loses_to_caps(runs)) {
        runs.cycles = {};
        runs.minutes_a_day = 0.0;
        runs.days = {};
        runs.is_too_little = true;
    }
    return known.emplace(std::move(runs));
}

}  // namespace thirstline
