#include "lookup/demand/base_zone.hpp"

#include <algorithm>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/watering_days.hpp"

namespace thirstline {

BaseZone zone_on_days(const PercentageTask& task, const DayPattern& days,
                      const Monthly<DayLimits>& limits, const Monthly<double>& season_share,
                      bool may_not_exceed_schedule) {
    const DayPattern& scheduled = task.peak_runs->days;
    const bool is_as_scheduled = days.slots == scheduled.slots && days.rule == scheduled.rule;
    const ZoneRuns runs = is_as_scheduled ? *task.peak_runs : runs_on_days(base_task(task), days);
    BaseZone zone;
    zone.days = days;
    zone.limits = runs.limits;
    zone.base = runs.cycles;
    double scheduled_minutes = runs.minutes_a_day;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const int month = static_cast<int>(m);
        zone.days_of[m] = days_within_limits(days, limits[m], month);
        zone.days_in_month[m] = zone.days_of[m].days_in_month * season_share[m];
        if (task.is_on[m]) {
            zone.wanted_minutes[m] = run_minutes(task.target_mm[m] / zone.days_in_month[m],
                                                 base_task(task).rate_mm_per_h);
        }
        zone.peak_minutes = std::max(zone.peak_minutes, zone.wanted_minutes[m]);
        const RunLimits of_month = runs_on_days(task.tasks[m], zone.days_of[m]).limits;
        zone.most_minutes[m] = of_month.most_minutes;
        // Longer runs on fewer days, where the rules of the month allow no other days.
        if (!allows_days(limits[m], same_days_in_month(days, month)))
            scheduled_minutes = std::max(scheduled_minutes, task.minutes_a_day[m]);
        if (!task.is_on[m] || !of_month.max_cycles) continue;
        zone.limits.max_cycles =
            std::min(*of_month.max_cycles, zone.limits.max_cycles.value_or(*of_month.max_cycles));
    }
    if (may_not_exceed_schedule)
        zone.limits.most_minutes = std::min(zone.limits.most_minutes, scheduled_minutes);
    if (zone.limits.max_cycles && zone.base.count > *zone.limits.max_cycles)
        zone.base = keyed_cycles(minutes_of(zone.base), zone.limits, 0.0);
    return zone;
}

double litres_a_minute(const PercentageTask& task, const BaseZone& zone, std::size_t month) {
    return applied_depth_mm(zone.days_in_month[month], base_task(task).rate_mm_per_h) *
           task.area_m2;
}

double ZoneGroup::excess() const {
    double litres_l = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) litres_l += share[m] * litres[m];
    return target_l > 0.0 ? litres_l / target_l - 1.0 : 0.0;
}

ZoneGroup group_of(const PercentageTask& task, const BaseZone& zone, std::size_t index) {
    ZoneGroup group;
    group.zones = {index};
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (zone.wanted_minutes[m] <= 0.0) continue;
        group.share[m] = zone.wanted_minutes[m] / zone.peak_minutes;
        group.litres[m] = zone.peak_minutes * litres_a_minute(task, zone, m);
        group.target_l += group.share[m] * group.litres[m];
    }
    return group;
}

ZoneGroup merged(const ZoneGroup& a, const ZoneGroup& b) {
    ZoneGroup group = a;
    group.zones.insert(group.zones.end(), b.zones.begin(), b.zones.end());
    std::sort(group.zones.begin(), group.zones.end());
    for (std::size_t m = 0; m < kMonths; ++m) {
        group.share[m] = std::max(a.share[m], b.share[m]);
        group.litres[m] += b.litres[m];
    }
    group.target_l += b.target_l;
    return group;
}

}  // namespace thirstline
