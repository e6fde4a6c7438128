#include "lookup/demand/net_need.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "lookup/demand/effective_rain.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/plant_need.hpp"

namespace thirstline {
namespace {

MonthNeed month_need(const ZoneNumbers& zone, const MonthClimate& climate, std::size_t month,
                     double credited_share) {
    MonthNeed need;
    if (zone.dormant[month]) return need;
    need.need_mm = plant_need_mm(zone.coefficient[month], climate.eto_mm);
    need.effective_rain_mm = effective_rain_mm(climate, need.need_mm, zone.rain_credit,
                                               zone.usable_storage_mm, credited_share);
    need.net_mm = net_requirement_mm(need.need_mm, need.effective_rain_mm);
    need.net_mm_per_day = need.net_mm / kDaysInMonth[month];
    return need;
}

/// Half of the change in net need from one standard error below to one above.
double half_difference_mm(const ZoneNumbers& zone, std::size_t month, double credited_share,
                          const MonthClimate& low, const MonthClimate& high) {
    return (month_need(zone, high, month, credited_share).net_mm -
            month_need(zone, low, month, credited_share).net_mm) /
           2.0;
}

/// The first of equal months; empty without need.
std::optional<int> greatest_need(const Monthly<MonthNeed>& months) {
    std::optional<int> greatest;
    double greatest_mm_per_day = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (months[m].net_mm_per_day <= greatest_mm_per_day) continue;
        greatest_mm_per_day = months[m].net_mm_per_day;
        greatest = static_cast<int>(m);
    }
    return greatest;
}

/// Midway between the need without rain and the need with it, per day.
double guarded_mm_per_day(const MonthNeed& need, std::size_t month) {
    return (need.need_mm + need.net_mm) / 2.0 / kDaysInMonth[month];
}

std::size_t index_of(const YearNeed& year) {
    return static_cast<std::size_t>(*year.peak_month_index);
}

}  // namespace

YearNeed year_need(const ZoneNumbers& zone, const SiteClimate& climate) {
    YearNeed year;
    for (std::size_t m = 0; m < kMonths; ++m)
        year.months[m] = month_need(zone, climate.months[m], m, 1.0);
    year.peak_month_index = greatest_need(year.months);
    if (!year.peak_month_index || zone.rain_credit.rule != RainRule::half) return year;

    const Monthly<MonthNeed> with_half = year.months;
    double greatest_mm_per_day = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m)
        greatest_mm_per_day = std::max(greatest_mm_per_day, guarded_mm_per_day(with_half[m], m));
    for (std::size_t m = 0; m < kMonths; ++m) {
        const double share = guarded_mm_per_day(with_half[m], m) / greatest_mm_per_day;
        year.months[m] = month_need(zone, climate.months[m], m, credited_share_of_half(share));
    }
    year.peak_month_index = greatest_need(year.months);
    const std::size_t peak = index_of(year);
    year.months[peak] = month_need(zone, climate.months[peak], peak, 0.0);
    year.uncredited_rain_mm = with_half[peak].effective_rain_mm;
    return year;
}

std::optional<double> net_need_se_mm(const ZoneNumbers& zone, const SiteClimate& climate,
                                     int month_index, double credited_share) {
    const auto month = static_cast<std::size_t>(month_index);
    const MonthClimate& normal = climate.months[month];
    if (!normal.eto_se_mm) return std::nullopt;

    MonthClimate low = normal;
    MonthClimate high = normal;
    low.eto_mm = std::max(0.0, normal.eto_mm - *normal.eto_se_mm);
    high.eto_mm = normal.eto_mm + *normal.eto_se_mm;
    const double by_eto_mm = half_difference_mm(zone, month, credited_share, low, high);

    const bool rain_matters =
        effective_rain_mm(normal, plant_need_mm(zone.coefficient[month], normal.eto_mm),
                          zone.rain_credit, zone.usable_storage_mm, credited_share) > 0.0;
    if (!rain_matters) return std::fabs(by_eto_mm);
    if (!normal.rain_se_mm) return std::nullopt;
    low = normal;
    high = normal;
    low.rain_mm = std::max(0.0, *normal.rain_mm - *normal.rain_se_mm);
    high.rain_mm = *normal.rain_mm + *normal.rain_se_mm;
    return std::hypot(by_eto_mm, half_difference_mm(zone, month, credited_share, low, high));
}

}  // namespace thirstline
