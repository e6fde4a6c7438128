#include "lookup/demand/meter_comparison.hpp"

#include <chrono>
#include <cstddef>

#include "lookup/demand/calendar_dates.hpp"

namespace thirstline {
namespace {

constexpr double kDaysInAverageMonth = 365.25 / 12.0;

bool is_in_season(const std::chrono::year_month_day& date, const std::optional<Season>& season) {
    if (!season) return true;
    return contains({season->start, season->stop},
                    {static_cast<int>(static_cast<unsigned>(date.month())),
                     static_cast<int>(static_cast<unsigned>(date.day()))});
}

double planned_on_day_l(const DemandPlan& plan, std::size_t month) {
    const double share = plan.site.season_share[month];
    if (share <= 0.0) return 0.0;
    double litres = 0.0;
    for (const ZonePlan& zone : plan.zones) litres += zone.months[month].volume_l;
    return litres / (share * kDaysInMonth[month]);
}

}  // namespace

std::vector<MeterPeriod> meter_comparison(const MeterRecord& record, const DemandPlan& plan,
                                          const std::optional<Season>& season) {
    std::vector<MeterPeriod> periods;
    for (std::size_t i = 1; i < record.readings.size(); ++i) {
        const MeterReading& before = record.readings[i - 1];
        const MeterReading& after = record.readings[i];
        const std::chrono::sys_days first = date_of(before.date);
        const std::chrono::sys_days end = date_of(after.date);
        MeterPeriod period{before.date, after.date, 0.0, 0.0, 0.0};
        for (std::chrono::sys_days day = first; day < end; day += std::chrono::days(1)) {
            const std::chrono::year_month_day date(day);
            if (is_in_season(date, season))
                period.planned_l += planned_on_day_l(plan, static_cast<unsigned>(date.month()) - 1);
        }
        const double months = static_cast<double>((end - first).count()) / kDaysInAverageMonth;
        period.used_l = (after.reading - before.reading - record.house_units_per_month * months) *
                        record.litres_per_unit;
        period.difference_l = period.used_l - period.planned_l;
        periods.push_back(period);
    }
    return periods;
}

}  // namespace thirstline
