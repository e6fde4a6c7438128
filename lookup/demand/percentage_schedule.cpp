#include "lookup/demand/percentage_schedule.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {
namespace {

constexpr double kWholePercent = 100.0;
constexpr double kTolerance = 1e-9;
constexpr double kCostOfYear = 3.0;  ///< of the year's departure against that of single months
constexpr int kPasses = 2;

/// A zone while its base run is being chosen.
struct BaseZone {
    DayPattern days;
    Monthly<DayPattern> days_of;     ///< of each month
    Monthly<double> most_minutes{};  ///< a day, by the rules of each month
    RunLimits limits;
    double peak_minutes = 0.0;         ///< that its base month wants a day
    Monthly<double> days_in_month{};   ///< within the season
    Monthly<double> wanted_minutes{};  ///< a base day; 0 where off
    Cycles base;
};

double minutes_of(const Cycles& cycles) {
    return cycles.count * cycles.minutes_each;
}

Cycles at_percent(Cycles cycles, int percent) {
    cycles.minutes_each *= percent / kWholePercent;
    return cycles;
}

const ZoneTask& base_task(const PercentageTask& task) {
    return task.tasks[task.base_month];
}

/// Litres that a minute on each base day of the month brings.
double litres_a_minute(const PercentageTask& task, const BaseZone& zone, std::size_t m) {
    return applied_depth_mm(zone.days_in_month[m], base_task(task).rate_mm_per_h) * task.area_m2;
}

class Planner {
  public:
    Planner(const std::vector<PercentageTask>& tasks, const Monthly<LocalRules>& rules,
            const Controller& controller, const Monthly<double>& season_share)
        : tasks_(tasks), rules_(rules), controller_(controller), season_share_(season_share) {
        for (std::size_t m = 0; m < kMonths; ++m) windows_[m] = window_minutes(rules[m]);
        zones_.resize(tasks.size());
        for (std::size_t z = 0; z < tasks.size(); ++z)
            if (can_run(z)) set_days(z, tasks_[z].peak_runs->days, tasks_[z].day_limits);
    }

    [[nodiscard]] PercentageSchedule planned() {
        gather();
        for (const std::vector<std::size_t>& members : programs_) choose_base(members);
        keep_base_window();
        PercentageSchedule schedule;
        for (const std::vector<std::size_t>& members : programs_)
            schedule.programs.push_back(percents_of(members));
        keep_allowances(schedule.programs);
        for (std::size_t m = 0; m < kMonths; ++m) keep_month_window(schedule.programs, m);
        write_zones(schedule);
        lay_out(schedule);
        return schedule;
    }

  private:
    [[nodiscard]] bool can_run(std::size_t z) const {
        return tasks_[z].peak_runs && tasks_[z].peak_runs->cycles.count > 0;
    }

    [[nodiscard]] bool may_not_exceed_schedule() const {
        const LocalRules& rules = rules_.front();
        return rules.monthly_allowance_l || rules.yearly_allowance_l ||
               std::any_of(windows_.begin(), windows_.end(),
                           [](double minutes) { return minutes < kClockMinutes; });
    }

    /// Puts a zone on these days, or what the limits allow of them, and works out what each month
    /// wants of them.
    void set_days(std::size_t z, const DayPattern& days, const Monthly<DayLimits>& limits) {
        const PercentageTask& task = tasks_[z];
        BaseZone& zone = zones_[z];
        const bool is_as_scheduled =
            days.slots == task.peak_runs->days.slots && days.rule == task.peak_runs->days.rule;
        const ZoneRuns runs =
            is_as_scheduled ? *task.peak_runs : runs_on_days(base_task(task), days);
        zone.days = days;
        zone.limits = runs.limits;
        zone.base = runs.cycles;
        zone.peak_minutes = 0.0;
        double scheduled_minutes = runs.minutes_a_day;
        for (std::size_t m = 0; m < kMonths; ++m) {
            zone.days_of[m] = days_within_limits(days, limits[m], static_cast<int>(m));
            zone.days_in_month[m] = zone.days_of[m].days_in_month * season_share_[m];
            zone.wanted_minutes[m] = task.is_on[m]
                                         ? run_minutes(task.target_mm[m] / zone.days_in_month[m],
                                                       base_task(task).rate_mm_per_h)
                                         : 0.0;
            zone.peak_minutes = std::max(zone.peak_minutes, zone.wanted_minutes[m]);
            const RunLimits of_month = runs_on_days(task.tasks[m], zone.days_of[m]).limits;
            zone.most_minutes[m] = of_month.most_minutes;
            // Longer runs on fewer days, where the month's rules allow no others.
            if (!allows_days(limits[m], same_days_in_month(days, static_cast<int>(m))))
                scheduled_minutes = std::max(scheduled_minutes, task.minutes_a_day[m]);
            if (!task.is_on[m] || !of_month.max_cycles) continue;
            zone.limits.max_cycles = std::min(
                *of_month.max_cycles, zone.limits.max_cycles.value_or(*of_month.max_cycles));
        }
        if (may_not_exceed_schedule())
            zone.limits.most_minutes = std::min(zone.limits.most_minutes, scheduled_minutes);
        if (zone.limits.max_cycles && zone.base.count > *zone.limits.max_cycles)
            zone.base = keyed_cycles(minutes_of(zone.base), zone.limits, 0.0);
    }

    // --- Programs --------------------------------------------------------------------------------

    /// What one percentage for all would bring beyond the targets, as a share of them.
    struct Group {
        std::vector<std::size_t> zones;
        Monthly<double> share{};   ///< greatest of the zones', of their peaks
        Monthly<double> litres{};  ///< that the whole share would bring to those that are on
        double target_l = 0.0;

        [[nodiscard]] double excess() const {
            double litres_l = 0.0;
            for (std::size_t m = 0; m < kMonths; ++m) litres_l += share[m] * litres[m];
            return target_l > 0.0 ? litres_l / target_l - 1.0 : 0.0;
        }
    };

    [[nodiscard]] Group group_of(std::size_t z) const {
        const BaseZone& zone = zones_[z];
        Group group;
        group.zones = {z};
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (zone.wanted_minutes[m] <= 0.0) continue;
            group.share[m] = zone.wanted_minutes[m] / zone.peak_minutes;
            group.litres[m] = zone.peak_minutes * litres_a_minute(tasks_[z], zone, m);
            group.target_l += group.share[m] * group.litres[m];
        }
        return group;
    }

    static Group merged(const Group& a, const Group& b) {
        Group group = a;
        group.zones.insert(group.zones.end(), b.zones.begin(), b.zones.end());
        std::sort(group.zones.begin(), group.zones.end());
        for (std::size_t m = 0; m < kMonths; ++m) {
            group.share[m] = std::max(a.share[m], b.share[m]);
            group.litres[m] += b.litres[m];
        }
        group.target_l += b.target_l;
        return group;
    }

    [[nodiscard]] bool share_days(const Group& a, const Group& b) const {
        const BaseZone& first = zones_[a.zones.front()];
        const BaseZone& second = zones_[b.zones.front()];
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (first.days_of[m].slots != second.days_of[m].slots ||
                first.days_of[m].rule != second.days_of[m].rule)
                return false;
        }
        return true;
    }

    /// Those of a zone that the rules on days bind, if there is one.
    [[nodiscard]] const Monthly<DayLimits>& limits_of(const Group& group) const {
        const auto bound = std::find_if(group.zones.begin(), group.zones.end(), [&](std::size_t z) {
            return tasks_[z].day_limits != Monthly<DayLimits>{};
        });
        return tasks_[bound == group.zones.end() ? group.zones.front() : *bound].day_limits;
    }

    /// Puts all zones of a group on the days of the one that is watered most often.
    Group on_shared_days(const Group& group) {
        std::size_t most = group.zones.front();
        for (const std::size_t z : group.zones)
            if (zones_[z].days.nominal_per_week > zones_[most].days.nominal_per_week) most = z;
        const Monthly<DayLimits>& limits = limits_of(group);
        const std::size_t base = tasks_[most].base_month;
        const DayPattern days =
            days_within_limits(zones_[most].days, limits[base], static_cast<int>(base));
        Group shared;
        for (const std::size_t z : group.zones) {
            set_days(z, same_days_in_month(days, static_cast<int>(tasks_[z].base_month)), limits);
            shared = shared.zones.empty() ? group_of(z) : merged(shared, group_of(z));
        }
        return shared;
    }

    void gather() {
        std::vector<Group> groups;
        const bool is_assigned = std::any_of(tasks_.begin(), tasks_.end(),
                                             [](const PercentageTask& t) { return t.program; });
        for (std::size_t z = 0; z < tasks_.size(); ++z) {
            if (!can_run(z)) continue;
            const auto same = std::find_if(groups.begin(), groups.end(), [&](const Group& group) {
                return is_assigned && tasks_[group.zones.front()].program.value_or(1) ==
                                          tasks_[z].program.value_or(1);
            });
            if (same == groups.end()) {
                groups.push_back(group_of(z));
            } else {
                *same = merged(*same, group_of(z));
            }
        }
        if (is_assigned) {
            std::stable_sort(groups.begin(), groups.end(), [&](const Group& a, const Group& b) {
                return tasks_[a.zones.front()].program.value_or(1) <
                       tasks_[b.zones.front()].program.value_or(1);
            });
            for (Group& group : groups) group = on_shared_days(group);
        } else {
            while (merge_two(groups)) {
            }
        }
        for (Group& group : groups) programs_.push_back(std::move(group.zones));
    }

    /// Merges the two groups that lose least by it; false where that is not worth while.
    bool merge_two(std::vector<Group>& groups) {
        const bool must_merge = groups.size() > static_cast<std::size_t>(controller_.programs);
        double least = 0.0;
        std::size_t first = groups.size();
        std::size_t second = groups.size();
        bool has_same_days = false;
        for (std::size_t a = 0; a < groups.size(); ++a) {
            for (std::size_t b = a + 1; b < groups.size(); ++b) {
                const bool same_days = share_days(groups[a], groups[b]);
                if (!same_days && (!must_merge || has_same_days)) continue;
                const double excess = merged(groups[a], groups[b]).excess();
                const bool is_better =
                    first == groups.size() || excess < least || (same_days && !has_same_days);
                if (!is_better) continue;
                least = excess;
                first = a;
                second = b;
                has_same_days = same_days;
            }
        }
        if (first == groups.size() || (!must_merge && least > kProgramExcess)) return false;
        groups[first] = on_shared_days(merged(groups[first], groups[second]));
        groups.erase(groups.begin() + static_cast<std::ptrdiff_t>(second));
        return true;
    }

    // --- Base runs and percentages ---------------------------------------------------------------

    /// Base runs that come near what the base month wants, each once.
    [[nodiscard]] std::vector<Cycles> candidates(const BaseZone& zone) const {
        std::vector<Cycles> found{zone.base};
        for (int percent = -5; percent <= 8; ++percent) {
            const Cycles cycles = keyed_cycles(zone.peak_minutes * (1.0 + percent / 100.0),
                                               zone.limits, kMinShareOfNeed);
            const bool is_enough =
                minutes_of(cycles) >= kMinShareOfNeed * zone.peak_minutes - kTolerance;
            const bool is_known = std::any_of(found.begin(), found.end(), [&](const Cycles& one) {
                return minutes_of(one) == minutes_of(cycles);
            });
            if (cycles.count > 0 && is_enough && !is_known) found.push_back(cycles);
        }
        return found;
    }

    struct Departure {
        double months_l = 0.0;
        double year_l = 0.0;
        [[nodiscard]] double cost() const { return months_l + kCostOfYear * std::fabs(year_l); }
    };

    [[nodiscard]] Departure departure_at(const std::vector<std::size_t>& members, std::size_t m,
                                         int percent) const {
        Departure departure;
        for (const std::size_t z : members) {
            const BaseZone& zone = zones_[z];
            if (zone.wanted_minutes[m] <= 0.0) continue;
            const double minutes =
                minutes_of(zone.base) * percent / kWholePercent - zone.wanted_minutes[m];
            const double litres = minutes * litres_a_minute(tasks_[z], zone, m);
            departure.months_l += std::fabs(litres);
            departure.year_l += litres;
        }
        return departure;
    }

    /// Greatest share of its base run that any zone wants, in percent.
    [[nodiscard]] double leading_percent(const std::vector<std::size_t>& members, std::size_t m,
                                         std::optional<std::size_t>& by) const {
        double leading = 0.0;
        for (const std::size_t z : members) {
            const BaseZone& zone = zones_[z];
            if (zone.wanted_minutes[m] <= 0.0 || zone.base.count == 0) continue;
            const double percent = zone.wanted_minutes[m] / minutes_of(zone.base) * kWholePercent;
            if (percent <= leading + kTolerance) continue;
            leading = percent;
            by = z;
        }
        return leading;
    }

    /// The highest step that keeps each zone within the caps of the month's rules.
    [[nodiscard]] int greatest_percent(const std::vector<std::size_t>& members,
                                       std::size_t m) const {
        double greatest = kWholePercent;
        for (const std::size_t z : members) {
            const BaseZone& zone = zones_[z];
            if (zone.wanted_minutes[m] <= 0.0 || zone.base.count == 0) continue;
            greatest =
                std::min(greatest, zone.most_minutes[m] / minutes_of(zone.base) * kWholePercent);
        }
        if (greatest >= kWholePercent - kTolerance) return 100;
        const int step = controller_.percent_step;
        return static_cast<int>(std::floor(greatest / step + kTolerance)) * step;
    }

    [[nodiscard]] PercentageProgram percents_of(const std::vector<std::size_t>& members) const {
        PercentageProgram program;
        Monthly<double> leading{};
        Monthly<int> least{};
        const int step = controller_.percent_step;
        double year_l = 0.0;
        for (std::size_t m = 0; m < kMonths; ++m) {
            leading[m] = leading_percent(members, m, program.set_by[m]);
            const double enough = leading[m] * kMinShareOfNeed;
            const int most = greatest_percent(members, m);
            least[m] =
                std::min(most, static_cast<int>(std::ceil(enough / step - kTolerance)) * step);
            program.percent[m] = least[m];
            const int more = std::min(most, least[m] + step);
            if (leading[m] > 0.0 && departure_at(members, m, more).months_l <
                                        departure_at(members, m, least[m]).months_l) {
                program.percent[m] = more;
            }
        }
        // The base run is that of the program's peak month.
        const auto peak = static_cast<std::size_t>(
            std::max_element(leading.begin(), leading.end()) - leading.begin());
        if (leading[peak] > 0.0) program.percent[peak] = greatest_percent(members, peak);
        for (std::size_t m = 0; m < kMonths; ++m)
            year_l += departure_at(members, m, program.percent[m]).year_l;
        // A year's excess is taken back where a month has more than it must.
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (m == peak || program.percent[m] == least[m]) continue;
            const double change_l = departure_at(members, m, least[m]).year_l -
                                    departure_at(members, m, program.percent[m]).year_l;
            if (std::fabs(year_l + change_l) >= std::fabs(year_l)) continue;
            year_l += change_l;
            program.percent[m] = least[m];
        }
        return program;
    }

    [[nodiscard]] double cost_of(const std::vector<std::size_t>& members) const {
        const PercentageProgram program = percents_of(members);
        Departure whole;
        for (std::size_t m = 0; m < kMonths; ++m) {
            const Departure departure = departure_at(members, m, program.percent[m]);
            whole.months_l += departure.months_l;
            whole.year_l += departure.year_l;
        }
        return whole.cost();
    }

    void choose_base(const std::vector<std::size_t>& members) {
        for (int pass = 0; pass < kPasses; ++pass) {
            for (const std::size_t z : members) {
                BaseZone& zone = zones_[z];
                Cycles best = zone.base;
                double least = -1.0;
                for (const Cycles& candidate : candidates(zone)) {
                    zone.base = candidate;
                    const double cost = cost_of(members);
                    if (least >= 0.0 && cost >= least) continue;
                    least = cost;
                    best = candidate;
                }
                zone.base = best;
            }
            if (members.size() == 1) return;
        }
    }

    // --- Rules -----------------------------------------------------------------------------------

    [[nodiscard]] bool is_on(std::size_t z, std::size_t m) const {
        return can_run(z) && zones_[z].wanted_minutes[m] > 0.0;
    }

    [[nodiscard]] std::vector<Night> nights_of_month(std::size_t m) const {
        std::vector<DayPattern> days;
        for (std::size_t z = 0; z < zones_.size(); ++z)
            days.push_back(is_on(z, m) ? zones_[z].days_of[m] : DayPattern{});
        return different_nights(days);
    }

    [[nodiscard]] ValveLimits valves() const {
        return {controller_.valves_at_once, rules_.front().flow_l_per_min};
    }

    /// Of the base runs; of those of one night only, if it is given.
    [[nodiscard]] NightLayout base_layout(const std::vector<Night>& nights,
                                          const Night* only) const {
        std::vector<NightRun> runs;
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            const bool takes_part =
                can_run(z) &&
                (only == nullptr || std::find(only->begin(), only->end(), z) != only->end());
            runs.push_back({takes_part ? in_clock_minutes(zones_[z].base) : Cycles{},
                            base_task(tasks_[z]).flow_l_per_min});
        }
        return night_layout(runs, nights, valves());
    }

    /// Shortens the base runs of these zones alike until `minutes` gives no more than the window.
    template <class MinutesOf>
    void shorten(const Night& on, double window, MinutesOf minutes) {
        for (double share = 0.98; share > 0.0 && minutes() > window + kTolerance; share -= 0.02) {
            for (const std::size_t z : on) {
                BaseZone& zone = zones_[z];
                zone.limits.most_minutes =
                    std::min(minutes_of(zone.base), zone.peak_minutes * share);
                zone.base = keyed_cycles(zone.limits.most_minutes, zone.limits, 0.0);
            }
        }
    }

    /// Zones that programs have put on shared days may not fit the window any more: the base runs
    /// are then shortened alike. Months with a shorter window get a lower percentage instead.
    void keep_base_window() {
        const double widest = *std::max_element(windows_.begin(), windows_.end());
        std::vector<Night> nights;
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (windows_[m] < widest) continue;
            for (Night& night : nights_of_month(m))
                if (std::find(nights.begin(), nights.end(), night) == nights.end())
                    nights.push_back(std::move(night));
        }
        for (const Night& night : nights)
            shorten(night, widest, [&] { return base_layout({night}, &night).minutes; });
        Night all;
        for (std::size_t z = 0; z < zones_.size(); ++z)
            if (can_run(z)) all.push_back(z);
        shorten(all, widest, [&] { return base_layout(nights, nullptr).minutes; });
    }

    /// The month's runs at its percentages; `programs` as far as they are known.
    [[nodiscard]] NightLayout month_layout(const std::vector<PercentageProgram>& programs,
                                           std::size_t m) const {
        std::vector<NightRun> runs(zones_.size());
        for (std::size_t p = 0; p < programs_.size(); ++p) {
            for (const std::size_t z : programs_[p]) {
                const int percent = programs[p].percent[m];
                if (!is_on(z, m) || percent == 0) continue;
                runs[z] = {in_clock_minutes(at_percent(zones_[z].base, percent)),
                           base_task(tasks_[z]).flow_l_per_min};
            }
        }
        return night_layout(runs, nights_of_month(m), valves());
    }

    void keep_month_window(std::vector<PercentageProgram>& programs, std::size_t m) const {
        while (month_layout(programs, m).minutes > windows_[m] + kTolerance &&
               take_step(programs, m)) {
        }
    }

    /// One set of start times, that of the base runs, where it serves all nights of a month within
    /// its window; else one of the month's own.
    void lay_out(PercentageSchedule& schedule) const {
        std::vector<Night> nights;
        for (std::size_t m = 0; m < kMonths; ++m) {
            for (Night& night : nights_of_month(m))
                if (std::find(nights.begin(), nights.end(), night) == nights.end())
                    nights.push_back(std::move(night));
        }
        const NightLayout base = base_layout(nights, nullptr);
        for (std::size_t m = 0; m < kMonths; ++m) {
            schedule.night_minutes[m] = base.minutes;
            for (std::size_t z = 0; z < zones_.size(); ++z)
                if (is_on(z, m)) schedule.zones[z].starts[m] = base.starts[z];
            if (base.minutes <= windows_[m] + kTolerance) continue;
            const NightLayout own = month_layout(schedule.programs, m);
            schedule.night_minutes[m] = own.minutes;
            for (std::size_t z = 0; z < zones_.size(); ++z)
                schedule.zones[z].starts[m] = own.starts[z];
        }
    }

    [[nodiscard]] double litres_of(std::size_t program, std::size_t m, int percent) const {
        double litres = 0.0;
        for (const std::size_t z : programs_[program]) {
            const BaseZone& zone = zones_[z];
            if (zone.wanted_minutes[m] <= 0.0) continue;
            litres += minutes_of(zone.base) * percent / kWholePercent *
                      litres_a_minute(tasks_[z], zone, m);
        }
        return litres;
    }

    [[nodiscard]] double litres_of_month(const std::vector<PercentageProgram>& programs,
                                         std::size_t m) const {
        double litres = 0.0;
        for (std::size_t p = 0; p < programs.size(); ++p)
            litres += litres_of(p, m, programs[p].percent[m]);
        return litres;
    }

    /// Takes a step off the program that uses most in the month; false if none is left.
    bool take_step(std::vector<PercentageProgram>& programs, std::size_t m) const {
        std::size_t most = programs.size();
        for (std::size_t p = 0; p < programs.size(); ++p) {
            if (programs[p].percent[m] <= 0) continue;
            if (most == programs.size() || programs[p].percent[m] > programs[most].percent[m])
                most = p;
        }
        if (most == programs.size()) return false;
        int& percent = programs[most].percent[m];
        percent = std::max(0, (percent - 1) / controller_.percent_step * controller_.percent_step);
        return true;
    }

    void keep_allowances(std::vector<PercentageProgram>& programs) const {
        const LocalRules& rules = rules_.front();  // allowances are the same all year
        if (rules.monthly_allowance_l) {
            for (std::size_t m = 0; m < kMonths; ++m) {
                while (litres_of_month(programs, m) > *rules.monthly_allowance_l + kTolerance &&
                       take_step(programs, m)) {
                }
            }
        }
        if (!rules.yearly_allowance_l) return;
        const auto year_l = [&] {
            double litres = 0.0;
            for (std::size_t m = 0; m < kMonths; ++m) litres += litres_of_month(programs, m);
            return litres;
        };
        // Each month in turn, so that none pays for all.
        for (bool has_taken = true;
             has_taken && year_l() > *rules.yearly_allowance_l + kTolerance;) {
            has_taken = false;
            for (std::size_t m = 0; m < kMonths; ++m) {
                if (year_l() <= *rules.yearly_allowance_l + kTolerance) break;
                has_taken = take_step(programs, m) || has_taken;
            }
        }
    }

    void write_zones(PercentageSchedule& schedule) const {
        schedule.zones.resize(tasks_.size());
        for (std::size_t p = 0; p < programs_.size(); ++p) {
            for (const std::size_t z : programs_[p]) {
                ZonePercentages& out = schedule.zones[z];
                const BaseZone& zone = zones_[z];
                out.program = static_cast<int>(p) + 1;
                out.days = zone.days;
                out.days_of = zone.days_of;
                out.base = zone.base;
                for (std::size_t m = 0; m < kMonths; ++m) {
                    if (!tasks_[z].is_on[m]) continue;
                    PercentageMonth& month = out.months[m];
                    month.percent = schedule.programs[p].percent[m];
                    month.days_in_month = zone.days_in_month[m];
                    month.applied_mm = applied_depth_mm(
                        minutes_of(zone.base) * month.percent / kWholePercent * month.days_in_month,
                        base_task(tasks_[z]).rate_mm_per_h);
                }
            }
        }
    }

    const std::vector<PercentageTask>& tasks_;
    const Monthly<LocalRules>& rules_;
    const Controller& controller_;
    const Monthly<double>& season_share_;
    Monthly<double> windows_{};  ///< minutes of a night
    std::vector<BaseZone> zones_;
    std::vector<std::vector<std::size_t>> programs_;
};

}  // namespace

PercentageSchedule percentage_schedule(const std::vector<PercentageTask>& tasks,
                                       const Monthly<LocalRules>& rules,
                                       const Controller& controller,
                                       const Monthly<double>& season_share) {
    return Planner(tasks, rules, controller, season_share).planned();
}

}  // namespace thirstline
