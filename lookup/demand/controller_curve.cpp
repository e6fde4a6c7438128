#include "lookup/demand/controller_curve.hpp"

#include <cmath>
#include <cstddef>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/month_schedule.hpp"

namespace thirstline {
namespace {

/// Gross depth a day at the zone's peak.
double peak_gross_mm_per_day(const ZonePlan& zone) {
    if (!zone.peak_need_month) return 0.0;
    const auto peak = static_cast<std::size_t>(*zone.peak_need_month - 1);
    return zone.months[peak].gross_mm / kDaysInMonth[peak];
}

/// Would the base days at this percentage bring less than wets the roots?
bool is_run_too_short(const ZonePlan& zone, std::size_t month, int percent) {
    // A zone without need is not watered at all.
    if (zone.months[month].gross_mm <= 0.0 || zone.base_run.days_per_week <= 0.0) return false;
    const double full_mm =
        applied_depth_mm(zone.base_run.minutes_per_day, zone.rate_mm_per_h) / zone.gross_per_net;
    // Where even the peak's runs are shorter, there are no days to cut.
    return is_shallow_watering(full_mm * percent / 100.0, zone.usable_storage_mm) &&
           !is_shallow_watering(full_mm, zone.usable_storage_mm);
}

int rounded_up_to_step(double percent) {
    const int steps = static_cast<int>(std::ceil(percent / kPercentStep - 1e-9));
    return steps * kPercentStep;
}

}  // namespace

ControllerCurve controller_curve(const std::vector<ZonePlan>& zones) {
    ControllerCurve curve;
    curve.too_much_mm.resize(zones.size());
    for (std::size_t m = 0; m < kMonths; ++m) {
        double& leading = curve.percent_of_peak_need[m];
        for (const ZonePlan& zone : zones) {
            if (zone.months[m].percent_of_peak_need <= leading) continue;
            leading = zone.months[m].percent_of_peak_need;
            curve.set_by[m] = zone.name;
        }
        curve.percent_to_enter[m] = rounded_up_to_step(leading);
        for (std::size_t z = 0; z < zones.size(); ++z) {
            const double beyond = leading - zones[z].months[m].percent_of_peak_need;
            curve.too_much_mm[z][m] =
                beyond / 100.0 * peak_gross_mm_per_day(zones[z]) * kDaysInMonth[m];
            curve.days_cut_first[m] =
                curve.days_cut_first[m] || is_run_too_short(zones[z], m, curve.percent_to_enter[m]);
        }
    }
    return curve;
}

}  // namespace thirstline
