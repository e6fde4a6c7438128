#include "lookup/demand_output/controller_settings.hpp"

#include <algorithm>
#include <cmath>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

double whole_minutes(double minutes) {
    const double nearest = std::max(1.0, std::round(minutes));
    return nearest >= minutes * (1.0 - kNegligibleShare) ? nearest : nearest + 1.0;
}

CycleSetting setting_of(const DemandReport& report, const ZonePlan& zone, int cycles_per_day,
                        double minutes_per_cycle, double soak_minutes) {
    return cycle_setting({cycles_per_day, minutes_per_cycle, soak_minutes,
                          zone.longest_cycle_minutes, spare_minutes_of_night(report),
                          !report.set.rules.runs_per_week_cap});
}

}  // namespace

CycleSetting cycle_setting(const PlannedCycles& planned) {
    if (planned.cycles_per_day <= 0) return {};
    const double minutes_per_day = planned.cycles_per_day * planned.minutes_per_cycle;
    // The soak of a single cycle is not known, so that none can be added to it.
    const bool may_add = planned.may_add_cycle && planned.cycles_per_day > 1;
    for (int added = 0; added <= (may_add ? 1 : 0); ++added) {
        const int cycles = planned.cycles_per_day + added;
        const double whole = whole_minutes(minutes_per_day / cycles);
        if (planned.longest_cycle_minutes && whole > *planned.longest_cycle_minutes) continue;
        const double more = whole * cycles - minutes_per_day + added * planned.soak_minutes;
        if (planned.spare_minutes && more > *planned.spare_minutes) continue;
        return {cycles, whole};
    }
    return {planned.cycles_per_day, planned.minutes_per_cycle};
}

std::optional<double> spare_minutes_of_night(const DemandReport& report) {
    const auto& window_hours = report.set.rules.window_hours;
    if (!window_hours || !report.plan.site.longest_night_minutes) return std::nullopt;
    const double left = *window_hours * kMinutesPerHour - *report.plan.site.longest_night_minutes;
    // All zones of the night are rounded up: each may take its share.
    return std::max(0.0, left) / static_cast<double>(report.plan.zones.size());
}

CycleSetting base_setting(const DemandReport& report, const ZonePlan& zone) {
    const BaseRun& run = zone.base_run;
    return setting_of(report, zone, run.cycles_per_day, run.minutes_per_cycle, run.soak_minutes);
}

CycleSetting month_setting(const DemandReport& report, const ZonePlan& zone,
                           const ZoneMonth& month) {
    return setting_of(report, zone, month.cycles_per_day, month.minutes_per_cycle,
                      month.soak_minutes);
}

}  // namespace thirstline
