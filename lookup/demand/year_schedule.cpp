#include "lookup/demand/year_schedule.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/rule_conflicts.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/watering_days.hpp"

namespace thirstline {
namespace {

/// Smaller depths and minutes are rounding errors.
constexpr double kNegligibleMm = 1e-9;

using Patterns = Monthly<std::vector<DayPattern>>;

Patterns patterns_of_year(const Monthly<LocalRules>& rules, const Controller& controller) {
    Patterns patterns;
    for (int m = 0; m < kMonths; ++m) {
        const LocalRules& of_rules = rules[static_cast<std::size_t>(m)];
        std::vector<DayPattern>& of_month = patterns[static_cast<std::size_t>(m)];
        of_month = day_patterns(
            {of_rules.allowed_days, of_rules.days_per_week_cap, controller.interval_days}, m);
    }
    return patterns;
}

std::optional<int> max_cycles_of(const Controller& controller) {
    if (!controller.cycles_possible) return 1;
    return controller.start_times;
}

ZoneTask task_of(const ZoneDemand& zone, std::size_t month, const LocalRules& rules,
                 const Controller& controller) {
    const ZoneNumbers& numbers = zone.numbers;
    ZoneTask task;
    task.rate_mm_per_h = numbers.rate_mm_per_h;
    task.longest_cycle_minutes =
        longest_cycle_minutes(numbers.surface, numbers.wetted_rate_mm_per_h);
    task.soak_minutes = least_soak_minutes(numbers.surface);
    task.gross_per_net = numbers.gross_per_net;
    task.usable_storage_mm = numbers.usable_storage_mm;
    task.root_zone_mm = numbers.root_zone_mm;
    task.minute_step = controller.minute_step;
    task.flow_l_per_min = numbers.flow_l_per_min;
    task.max_cycles = max_cycles_of(controller);
    task.max_cycles_by_rule = rules.cycles_per_day_cap;
    task.max_runs_a_week = rules.runs_per_week_cap;
    task.most_minutes_a_day = rules.minutes_per_day_cap;
    task.most_mm_a_week = rules.weekly_depth_cap_mm;
    const double need_mm_per_day = zone.need.months[month].need_mm / kDaysInMonth[month];
    task.interval_days = longest_interval_days(numbers.usable_storage_mm, need_mm_per_day);
    task.wait_with_rain_days =
        longest_wait_with_rain_days(numbers.usable_storage_mm, numbers.root_zone_mm,
                                    need_mm_per_day, zone.need.months[month].net_mm_per_day);
    task.gross_mm = zone.need.months[month].net_mm * numbers.gross_per_net;
    return task;
}

double depth_of_mm(const ZoneRuns& runs, double minutes_a_day, double rate_mm_per_h) {
    return applied_depth_mm(minutes_a_day * runs.days.days_in_month, rate_mm_per_h);
}

/// What each zone may need in the month after the rules that concern only this zone; reports the
/// cuts.
void cut_by_flow_and_depth(ZoneTask& task, const ZoneDemand& zone, const LocalRules& rules,
                           int month_index, std::vector<Conflict>& conflicts) {
    Missing missing{month_index, task.gross_mm, task.rate_mm_per_h, 0.0};
    const double flow = zone.numbers.flow_l_per_min;
    if (rules.flow_l_per_min && flow > *rules.flow_l_per_min * (1.0 + 1e-9)) {
        if (task.gross_mm > kNegligibleMm)
            conflicts.push_back(flow_conflict(missing, flow, *rules.flow_l_per_min));
        task.gross_mm = 0.0;
    }
    if (!rules.weekly_depth_cap_mm) return;
    const double weeks = kDaysInMonth[static_cast<std::size_t>(month_index)] / kDaysPerWeek;
    const double most_mm = *rules.weekly_depth_cap_mm * weeks;
    if (task.gross_mm <= most_mm + kNegligibleMm) return;
    missing.gross_mm = task.gross_mm - most_mm;
    conflicts.push_back(
        weekly_depth_conflict(missing, *rules.weekly_depth_cap_mm, task.gross_mm / weeks));
    task.gross_mm = most_mm;
}

/// The planner of one year; its members are what all steps use.
class YearPlanner {
  public:
    YearPlanner(const std::vector<ZoneDemand>& zones, const YearRules& rules,
                const Controller& controller, const Monthly<double>& season_share)
        : zones_(zones),
          rules_(rules),
          controller_(controller),
          season_share_(season_share),
          patterns_(patterns_of_year(rules.bound, controller)),
          exempt_patterns_(patterns_of_year(rules.exempt, controller)) {
        year_.zones.resize(zones.size());
    }

    [[nodiscard]] YearSchedule planned() {
        find_base_days();
        for (int m = 0; m < kMonths; ++m) ask_for_month(m);
        for (std::size_t m = 0; m < kMonths; ++m) schedule_month(m);
        keep_allowance();
        for (std::size_t m = 0; m < kMonths; ++m) report_dry_soil(m);
        for (std::size_t z = 0; z < zones_.size(); ++z) settle_conflicts(z);
        for (ZoneYearSchedule& zone : year_.zones) {
            std::stable_sort(
                zone.conflicts.begin(), zone.conflicts.end(),
                [](const Conflict& a, const Conflict& b) { return a.month < b.month; });
        }
        return std::move(year_);
    }

  private:
    [[nodiscard]] const LocalRules& rules_of(std::size_t z, std::size_t m) const {
        return rules_.of(zones_[z].is_exempt, m);
    }
    [[nodiscard]] const std::vector<DayPattern>& patterns_of(std::size_t z, std::size_t m) const {
        return zones_[z].is_exempt ? exempt_patterns_[m] : patterns_[m];
    }

    void find_base_days() {
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            const std::optional<int>& peak = zones_[z].need.peak_month_index;
            if (!peak) continue;
            const auto month = static_cast<std::size_t>(*peak);
            const ZoneTask task = task_of(zones_[z], month, rules_of(z, month), controller_);
            year_.zones[z].base_days_per_week =
                runs_of_single_zone(task, patterns_of(z, month)).days.nominal_per_week;
        }
    }

    void ask_for_month(int month_index) {
        const auto m = static_cast<std::size_t>(month_index);
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            ZoneYearSchedule& zone = year_.zones[z];
            ZoneTask task = task_of(zones_[z], m, rules_of(z, m), controller_);
            // A task is for a whole month, of which the season includes a share.
            if (season_share_[m] <= 0.0) task.gross_mm = 0.0;
            zone.gross_mm[m] = task.gross_mm * season_share_[m];
            zone.interval_days[m] = task.interval_days;
            task.base_days_per_week = zone.base_days_per_week;
            cut_by_flow_and_depth(task, zones_[z], rules_of(z, m), month_index, zone.conflicts);
            tasks_[m].push_back(task);
        }
    }

    void schedule_month(std::size_t m) {
        const LocalRules& rules = rules_.bound[m];
        std::vector<ZonePatterns> patterns;
        for (std::size_t z = 0; z < zones_.size(); ++z) patterns.push_back(&patterns_of(z, m));
        MonthSchedule schedule =
            month_schedule(tasks_[m], patterns,
                           {window_minutes(rules),
                            practical_night_minutes(rules),
                            {controller_.valves_at_once, rules.flow_l_per_min}});
        year_.night_minutes[m] = schedule.longest_night_minutes;
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            ZoneYearSchedule& zone = year_.zones[z];
            const ZoneRuns& runs = schedule.zones[z];
            const double rate = tasks_[m][z].rate_mm_per_h;
            zone.runs[m] = runs;
            zone.applied_mm[m] = depth_of_mm(runs, runs.minutes_a_day, rate) * season_share_[m];
            zone.tasks[m] = tasks_[m][z];
            zone.starts[m] = std::move(schedule.starts[z]);
            Missing missing{static_cast<int>(m), 0.0, rate, runs.days.days_in_month};
            const auto is_missing = [&](double minutes_a_day) {
                missing.gross_mm = depth_of_mm(runs, minutes_a_day, rate);
                return missing.gross_mm > kNegligibleMm;
            };
            if (is_missing(runs.lost_to_runs_cap_minutes))
                zone.conflicts.push_back(runs_cap_conflict(missing, runs.runs_cap, controller_));
            if (is_missing(runs.lost_to_minutes_cap_minutes)) {
                zone.conflicts.push_back(
                    minutes_cap_conflict(missing, *tasks_[m][z].most_minutes_a_day));
            }
            if (is_missing(runs.lost_to_soil_minutes)) {
                zone.conflicts.push_back(root_zone_conflict(missing, tasks_[m][z].root_zone_mm));
            }
            if (is_missing(runs.lost_to_window_minutes))
                zone.conflicts.push_back(window_conflict(missing, schedule, rules));
        }
    }

    [[nodiscard]] double volume_l(std::size_t month) const {
        double litres = 0.0;
        for (std::size_t z = 0; z < zones_.size(); ++z)
            litres += year_.zones[z].applied_mm[month] * zones_[z].numbers.counted_area_m2;
        return litres;
    }

    void keep_allowance() {
        const LocalRules& of_site = rules_.bound.front();  // allowances are the same all year
        Monthly<double> wanted_l{};
        for (std::size_t m = 0; m < kMonths; ++m) wanted_l[m] = volume_l(m);
        const Monthly<double> by_month =
            allowed_shares(wanted_l, of_site.monthly_allowance_l, std::nullopt);
        const Monthly<double> shares =
            allowed_shares(wanted_l, of_site.monthly_allowance_l, of_site.yearly_allowance_l);
        double year_lacks_l = 0.0;
        for (std::size_t m = 0; m < kMonths; ++m)
            year_lacks_l += wanted_l[m] * (by_month[m] - shares[m]);
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (shares[m] >= 1.0 || wanted_l[m] <= 0.0) continue;
            for (std::size_t z = 0; z < zones_.size(); ++z) {
                ZoneYearSchedule& zone = year_.zones[z];
                ZoneTask& task = tasks_[m][z];
                const double whole_mm = zone.applied_mm[m];
                task.rounds_down = true;
                Missing missing{static_cast<int>(m), whole_mm * (1.0 - by_month[m]),
                                task.rate_mm_per_h, zone.runs[m].days.days_in_month};
                if (missing.gross_mm > kNegligibleMm) {
                    zone.conflicts.push_back(allowance_conflict(missing, "monthly_allowance",
                                                                wanted_l[m] * (1.0 - by_month[m])));
                }
                missing.gross_mm = whole_mm * (by_month[m] - shares[m]);
                if (missing.gross_mm > kNegligibleMm) {
                    zone.conflicts.push_back(
                        allowance_conflict(missing, "yearly_allowance", year_lacks_l));
                }
                task.gross_mm = whole_mm * shares[m] / season_share_[m];
            }
            schedule_month(m);
        }
    }

    void report_dry_soil(std::size_t m) {
        for (std::size_t z = 0; z < zones_.size(); ++z) {
            ZoneYearSchedule& zone = year_.zones[z];
            const ZoneRuns& runs = zone.runs[m];
            const std::optional<int>& interval = zone.interval_days[m];
            if (runs.minutes_a_day <= 0.0 || !interval) continue;
            const int gap = runs.days.longest_gap_days;
            if (gap <= *interval) continue;
            const double need_mm_per_day = zones_[z].need.months[m].need_mm / kDaysInMonth[m];
            const double drawn_mm = gap * need_mm_per_day - tasks_[m][z].usable_storage_mm;
            if (gap <= tasks_[m][z].wait_with_rain_days || runs.has_days_cut) {
                zone.rain_counted_on[m] = true;
                continue;
            }
            if (drawn_mm <= kNegligibleOverdraft * tasks_[m][z].usable_storage_mm) {
                zone.slight_overdraft_mm[m] = drawn_mm;
                continue;
            }
            const bool could_be_kept = std::any_of(
                patterns_of(z, m).begin(), patterns_of(z, m).end(),
                [&](const DayPattern& days) { return days.longest_gap_days <= *interval; });
            zone.conflicts.push_back(dry_soil_conflict(static_cast<int>(m), tasks_[m][z], runs,
                                                       need_mm_per_day, rules_of(z, m),
                                                       could_be_kept));
        }
    }

    /// The shortfall of the settings is divided among the conflicts of the month, by their shares;
    /// none if rounding explains it.
    void settle_conflicts(std::size_t z) {
        ZoneYearSchedule& zone = year_.zones[z];
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneRuns& runs = zone.runs[m];
            const double short_mm = zone.gross_mm[m] - zone.applied_mm[m];
            const bool is_short = short_mm > kNegligibleMm && !runs.is_too_little &&
                                  zone.applied_mm[m] < kMinShareOfNeed * zone.gross_mm[m];
            const auto is_of_month = [&](const Conflict& conflict) {
                return conflict.month == static_cast<int>(m) + 1 && conflict.short_mm > 0.0;
            };
            if (!is_short) {
                std::erase_if(zone.conflicts, is_of_month);
                continue;
            }
            double reported_mm = 0.0;
            for (const Conflict& conflict : zone.conflicts)
                if (is_of_month(conflict)) reported_mm += conflict.short_mm;
            const double days = runs.days.days_in_month * season_share_[m];
            Missing missing{static_cast<int>(m), short_mm, tasks_[m][z].rate_mm_per_h, days};
            if (reported_mm <= 0.0) {
                zone.conflicts.push_back(rounding_conflict(missing, rules_of(z, m), controller_));
                continue;
            }
            for (Conflict& conflict : zone.conflicts) {
                if (!is_of_month(conflict)) continue;
                missing.gross_mm = short_mm * conflict.short_mm / reported_mm;
                state_missing(conflict, missing);
            }
        }
    }

    const std::vector<ZoneDemand>& zones_;
    const YearRules& rules_;
    const Controller& controller_;
    const Monthly<double>& season_share_;
    Patterns patterns_;
    Patterns exempt_patterns_;
    Monthly<std::vector<ZoneTask>> tasks_;
    YearSchedule year_;
};

}  // namespace

Monthly<double> allowed_shares(const Monthly<double>& wanted_l,
                               const std::optional<double>& monthly_l,
                               const std::optional<double>& yearly_l) {
    Monthly<double> shares{};
    double year_l = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        shares[m] = monthly_l && wanted_l[m] > *monthly_l ? *monthly_l / wanted_l[m] : 1.0;
        year_l += wanted_l[m] * shares[m];
    }
    if (yearly_l && year_l > *yearly_l)
        for (double& share : shares) share *= *yearly_l / year_l;
    return shares;
}

YearSchedule year_schedule(const std::vector<ZoneDemand>& zones, const YearRules& rules,
                           const Controller& controller, const Monthly<double>& season_share) {
    return YearPlanner(zones, rules, controller, season_share).planned();
}

}  // namespace thirstline
