#include "lookup/demand/new_planting.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>

#include "lookup/demand/calendar_dates.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/watering_days.hpp"

namespace thirstline {
namespace {

constexpr TextKey kAskForExemption = "remedy.exemption"_text;

/// Watering days from the first to the last, both included, by the calendar.
int watering_days(const NewPlanting& regime, const DayPattern& days, DayRule rule) {
    const std::chrono::sys_days first = date_of(*regime.from);
    const std::chrono::sys_days last = date_of(regime.until);
    int count = 0;
    for (std::chrono::sys_days day = first; day <= last; day += std::chrono::days(1)) {
        if (goes_by_date(rule)) {
            const unsigned date = unsigned(std::chrono::year_month_day(day).day());
            if ((date % 2 == 1) == (rule == DayRule::odd_dates)) ++count;
            continue;
        }
        const unsigned weekday = std::chrono::weekday(day).iso_encoding() - 1;
        if ((days.slots >> weekday & 1U) != 0) ++count;
    }
    return count;
}

/// Applies one rule after another to the required runs and records what each takes.
class Cutter {
  public:
    Cutter(const NewPlanting& regime, const ZonePlan& zone) : zone_(zone) {
        result_.plan.wanted = regime;
        result_.plan.minutes_per_run = regime.minutes_per_run;
        result_.plan.runs_per_day = regime.runs_per_day;
        result_.plan.days_per_week = kDaysPerWeek;
        minutes_per_week_ = now_minutes_per_week();
    }

    [[nodiscard]] NewPlantingPlan& plan() { return result_.plan; }

    /// Call after a rule has changed the plan; does nothing if it has not.
    void account(const char* rule, Phrase remedy) {
        const double lost = minutes_per_week_ - now_minutes_per_week();
        minutes_per_week_ = now_minutes_per_week();
        if (lost <= 1e-9) return;
        const NewPlanting& regime = result_.plan.wanted;
        Conflict conflict;
        conflict.month = regime.until.month;
        conflict.rule = rule;
        conflict.short_minutes_per_week = lost;
        const double short_mm_a_week = applied_depth_mm(lost, zone_.rate_mm_per_h);
        conflict.short_mm = short_mm_a_week *
                            kDaysInMonth[static_cast<std::size_t>(conflict.month - 1)] /
                            kDaysPerWeek;
        conflict.is_of_new_planting = true;
        conflict.short_by = {
            "short.new_planting"_text,
            {{"minutes", minutes_text(lost)}, {"depth", depth_phrase(short_mm_a_week)}}};
        conflict.remedy = std::move(remedy);
        result_.conflicts.push_back(std::move(conflict));
    }

    [[nodiscard]] double now_minutes_per_week() const {
        const NewPlantingPlan& plan = result_.plan;
        return plan.minutes_per_run * plan.runs_per_day * plan.days_per_week;
    }
    [[nodiscard]] NewPlantingRuns take() { return std::move(result_); }

  private:
    const ZonePlan& zone_;
    NewPlantingRuns result_;
    double minutes_per_week_ = 0.0;
};

/// The maximum number of days that the rules allow; each day has at least one run.
DayPattern most_days(const LocalRules& rules, const Controller& controller, int month) {
    const int cap = std::min(rules.days_per_week_cap.value_or(kWeekdays),
                             rules.runs_per_week_cap.value_or(kWeekdays));
    return day_patterns({rules.allowed_days, cap, controller.interval_days}, month - 1).back();
}

/// The rule that allows fewer than seven days a week.
const char* rule_on_days(const LocalRules& rules) {
    if (rules.allowed_days.rule != DayRule::any) return "allowed_days";
    return rules.days_per_week_cap ? "days_per_week_cap" : "runs_per_week_cap";
}

}  // namespace

NewPlantingRuns new_planting_runs(const NewPlanting& regime, const ZonePlan& zone,
                                  const LocalRules& rules, const Controller& controller) {
    Cutter cutter(regime, zone);
    NewPlantingPlan& plan = cutter.plan();

    if (rules.flow_l_per_min && zone.flow_l_per_min > *rules.flow_l_per_min * (1.0 + 1e-9)) {
        plan.runs_per_day = 0;
        cutter.account("flow",
                       {"remedy.split_or_flow"_text, {{"flow", flow_phrase(zone.flow_l_per_min)}}});
    }
    if (zone.longest_cycle_minutes && plan.minutes_per_run > *zone.longest_cycle_minutes) {
        plan.minutes_per_run = *zone.longest_cycle_minutes;
        cutter.account("soil",
                       {"remedy.shorter_runs"_text,
                        {{"minutes", minutes_text(std::floor(*zone.longest_cycle_minutes))}}});
    }
    const DayPattern days = most_days(rules, controller, regime.until.month);
    const double month_days = kDaysInMonth[static_cast<std::size_t>(regime.until.month - 1)];
    plan.days_per_week = std::min(kDaysPerWeek, days.days_in_month * kDaysPerWeek / month_days);
    plan.day_names = day_pattern_name(days, controller.interval_days);
    cutter.account(rule_on_days(rules), kAskForExemption);

    const double window = window_minutes(rules);
    plan.minutes_per_run = std::min(plan.minutes_per_run, window);
    plan.runs_per_day = std::min(
        plan.runs_per_day, static_cast<int>(std::floor(window / plan.minutes_per_run + 1e-9)));
    cutter.account(water_window(rules).is_cut_by_barred_hours ? "barred_hours" : "window_hours",
                   kAskForExemption);

    if (rules.cycles_per_day_cap) {
        plan.runs_per_day = std::min(plan.runs_per_day, *rules.cycles_per_day_cap);
        cutter.account("cycles_per_day_cap", kAskForExemption);
    }
    if (rules.minutes_per_day_cap) {
        const double minutes = plan.minutes_per_run * plan.runs_per_day;
        if (minutes > *rules.minutes_per_day_cap)
            plan.minutes_per_run *= *rules.minutes_per_day_cap / minutes;
        cutter.account("minutes_per_day_cap", kAskForExemption);
    }
    if (rules.runs_per_week_cap) {
        plan.runs_per_day =
            std::min(plan.runs_per_day, *rules.runs_per_week_cap / days.most_in_seven_days);
        cutter.account("runs_per_week_cap", kAskForExemption);
    }
    if (rules.weekly_depth_cap_mm) {
        const double most_minutes = run_minutes(*rules.weekly_depth_cap_mm, zone.rate_mm_per_h);
        const double minutes = cutter.now_minutes_per_week();
        if (minutes > most_minutes) plan.minutes_per_run *= most_minutes / minutes;
        cutter.account("weekly_depth_cap", kAskForExemption);
    }

    plan.applied_mm_per_watering_day =
        applied_depth_mm(plan.minutes_per_run * plan.runs_per_day, zone.rate_mm_per_h);
    plan.l_per_watering_day = plan.applied_mm_per_watering_day * zone.counted_area_m2;
    if (regime.from) {
        plan.watering_days = watering_days(regime, days, rules.allowed_days.rule);
        plan.volume_l = plan.l_per_watering_day * *plan.watering_days;
    }
    return cutter.take();
}

}  // namespace thirstline
