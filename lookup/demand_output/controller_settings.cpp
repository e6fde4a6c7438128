#include "lookup/demand_output/controller_settings.hpp"

#include <algorithm>
#include <cmath>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {

CycleSetting cycle_setting(double minutes_per_day, int cycles_per_day,
                           std::optional<double> longest_cycle_minutes,
                           std::optional<double> spare_minutes) {
    if (cycles_per_day <= 0 || minutes_per_day <= 0.0) return {};
    const CycleSetting as_planned{cycles_per_day, minutes_per_day / cycles_per_day};
    const double asked = minutes_per_day * (1.0 - kNegligibleShare);
    const double whole = std::max(1.0, std::ceil(asked / cycles_per_day));
    const bool fits_soil = !longest_cycle_minutes || whole <= *longest_cycle_minutes;
    const double more = whole * cycles_per_day - minutes_per_day;
    const bool fits_night = !spare_minutes || more <= *spare_minutes;
    return fits_soil && fits_night ? CycleSetting{cycles_per_day, whole} : as_planned;
}

std::optional<double> spare_minutes_of_night(const DemandReport& report) {
    const auto& window_hours = report.set.rules.window_hours;
    if (!window_hours || !report.plan.site.longest_night_minutes) return std::nullopt;
    const double left = *window_hours * kMinutesPerHour - *report.plan.site.longest_night_minutes;
    // All zones of the night are rounded up: each may take its share.
    return std::max(0.0, left) / static_cast<double>(report.plan.zones.size());
}

CycleSetting base_setting(const DemandReport& report, const ZonePlan& zone) {
    return cycle_setting(zone.base_run.minutes_per_day, zone.base_run.cycles_per_day,
                         zone.longest_cycle_minutes, spare_minutes_of_night(report));
}

}  // namespace thirstline
