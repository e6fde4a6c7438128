#include "lookup/demand/percentage_schedule.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "lookup/demand/base_zone.hpp"
#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/percentage_nights.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/watering_night.hpp"

namespace thirstline {
namespace {

constexpr double kWholePercent = 100.0;
constexpr double kTolerance = 1e-9;
constexpr double kCostOfYear = 3.0;  ///< weight of the year's deviation relative to single months
constexpr int kPasses = 2;

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

    void set_days(std::size_t z, const DayPattern& days, const Monthly<DayLimits>& limits) {
        zones_[z] = zone_on_days(tasks_[z], days, limits, season_share_, may_not_exceed_schedule());
    }

    // --- Programs --------------------------------------------------------------------------------

    [[nodiscard]] bool share_days(const ZoneGroup& a, const ZoneGroup& b) const {
        const BaseZone& first = zones_[a.zones.front()];
        const BaseZone& second = zones_[b.zones.front()];
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (first.days_of[m].slots != second.days_of[m].slots ||
                first.days_of[m].rule != second.days_of[m].rule)
                return false;
        }
        return true;
    }

    /// The zone of the group that the rules on days apply to, if there is one.
    [[nodiscard]] const Monthly<DayLimits>& limits_of(const ZoneGroup& group) const {
        const auto bound = std::find_if(group.zones.begin(), group.zones.end(), [&](std::size_t z) {
            const Monthly<DayLimits>& limits = tasks_[z].day_limits;
            return std::any_of(limits.begin(), limits.end(), limits_days);
        });
        return tasks_[bound == group.zones.end() ? group.zones.front() : *bound].day_limits;
    }

    /// Sets all zones of a group to the days of the zone that is watered most often.
    ZoneGroup on_shared_days(const ZoneGroup& group) {
        std::size_t most = group.zones.front();
        for (const std::size_t z : group.zones)
            if (zones_[z].days.nominal_per_week > zones_[most].days.nominal_per_week) most = z;
        const Monthly<DayLimits>& limits = limits_of(group);
        const std::size_t base = tasks_[most].base_month;
        const DayPattern days =
            days_within_limits(zones_[most].days, limits[base], static_cast<int>(base));
        ZoneGroup shared;
        for (const std::size_t z : group.zones) {
            set_days(z, same_days_in_month(days, static_cast<int>(tasks_[z].base_month)), limits);
            shared = shared.zones.empty() ? group_of(tasks_[z], zones_[z], z)
                                          : merged(shared, group_of(tasks_[z], zones_[z], z));
        }
        return shared;
    }

    void gather() {
        std::vector<ZoneGroup> groups;
        const bool is_assigned = std::any_of(tasks_.begin(), tasks_.end(),
                                             [](const PercentageTask& t) { return t.program; });
        for (std::size_t z = 0; z < tasks_.size(); ++z) {
            if (!can_run(z)) continue;
            const auto same =
                std::find_if(groups.begin(), groups.end(), [&](const ZoneGroup& group) {
                    return is_assigned && tasks_[group.zones.front()].program.value_or(1) ==
                                              tasks_[z].program.value_or(1);
                });
            if (same == groups.end()) {
                groups.push_back(group_of(tasks_[z], zones_[z], z));
            } else {
                *same = merged(*same, group_of(tasks_[z], zones_[z], z));
            }
        }
        if (is_assigned) {
            std::stable_sort(groups.begin(), groups.end(),
                             [&](const ZoneGroup& a, const ZoneGroup& b) {
                                 return tasks_[a.zones.front()].program.value_or(1) <
                                        tasks_[b.zones.front()].program.value_or(1);
                             });
            for (ZoneGroup& group : groups) group = on_shared_days(group);
        } else {
            while (merge_two(groups)) {
            }
        }
        for (ZoneGroup& group : groups) programs_.push_back(std::move(group.zones));
    }

    /// Merges the two groups with the smallest loss; false if no merge is worthwhile.
    bool merge_two(std::vector<ZoneGroup>& groups) {
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

    /// Base runs close to what the base month needs, each once.
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

    /// Greatest share of its base run that any zone needs, in percent.
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
        // The year's excess is reduced in months that have more than they need.
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

    [[nodiscard]] ValveLimits valves() const {
        return {controller_.valves_at_once, rules_.front().flow_l_per_min};
    }

    [[nodiscard]] std::vector<BaseRunDays> base_runs() const {
        std::vector<BaseRunDays> runs(zones_.size());
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            if (!can_run(z)) continue;
            runs[z] = {zones_[z].base, base_task(tasks_[z]).flow_l_per_min, {}};
            for (std::size_t m = 0; m < kMonths; ++m)
                if (is_on(z, m)) runs[z].days[m] = zones_[z].days_of[m];
        }
        return runs;
    }

    /// Shortens the base runs of these zones by the same share until `minutes` returns at most the
    /// window.
    template <class MinutesOf>
    void shorten(const Night& on, double window, MinutesOf minutes) {
        for (int percent = 98; percent > 0 && minutes() > window + kTolerance; percent -= 2) {
            for (const std::size_t z : on) {
                BaseZone& zone = zones_[z];
                zone.limits.most_minutes =
                    std::min(minutes_of(zone.base), zone.peak_minutes * percent / 100.0);
                zone.base = keyed_cycles(zone.limits.most_minutes, zone.limits, 0.0);
            }
        }
    }

    /// Zones that programs have moved to shared days may no longer fit the window: the base runs
    /// are then shortened by the same share. Months with a shorter window get a lower percentage
    /// instead.
    void keep_base_window() {
        const double widest = *std::max_element(windows_.begin(), windows_.end());
        Monthly<bool> months{};
        for (std::size_t m = 0; m < kMonths; ++m) months[m] = windows_[m] >= widest;
        const std::vector<Night> nights = nights_of_months(base_runs(), months);
        for (const Night& night : nights)
            shorten(night, widest,
                    [&] { return base_night_minutes(base_runs(), night, valves()); });
        Night all;
        for (std::size_t z = 0; z < zones_.size(); ++z)
            if (can_run(z)) all.push_back(z);
        shorten(all, widest, [&] { return base_layout(base_runs(), nights, valves()).minutes; });
    }

    /// The month's runs at its percentages.
    [[nodiscard]] NightLayout month_layout(const std::vector<PercentageProgram>& programs,
                                           std::size_t m) const {
        std::vector<int> percents(zones_.size(), 0);
        for (std::size_t p = 0; p < programs_.size(); ++p)
            for (const std::size_t z : programs_[p]) percents[z] = programs[p].percent[m];
        return layout_at_percents(base_runs(), m, percents, valves());
    }

    void keep_month_window(std::vector<PercentageProgram>& programs, std::size_t m) const {
        while (month_layout(programs, m).minutes > windows_[m] + kTolerance &&
               take_step(programs, m)) {
        }
    }

    /// One set of start times, those of the base runs, if it fits all nights of a month into its
    /// window; otherwise start times for that month.
    void lay_out(PercentageSchedule& schedule) const {
        Monthly<bool> all_year;
        all_year.fill(true);
        const std::vector<BaseRunDays> runs = base_runs();
        const NightLayout base = base_layout(runs, nights_of_months(runs, all_year), valves());
        for (std::size_t m = 0; m < kMonths; ++m) {
            const bool fits = base.minutes <= windows_[m] + kTolerance;
            const NightLayout layout = fits ? base : month_layout(schedule.programs, m);
            schedule.night_minutes[m] = layout.minutes;
            for (std::size_t z = 0; z < zones_.size(); ++z)
                if (is_on(z, m)) schedule.zones[z].starts[m] = layout.starts[z];
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

    /// Reduces the month's highest percentage by one step; false if all are 0.
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
        // One month after another, so that no single month takes the whole cut.
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
    Monthly<double> windows_{};  ///< minutes per night
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
