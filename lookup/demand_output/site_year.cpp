#include "lookup/demand_output/site_year.hpp"

namespace thirstline {

Monthly<SiteMonth> site_months(const DemandReport& report) {
    double area_m2 = 0.0;
    for (const ZonePlan& zone : report.plan.zones) area_m2 += zone.counted_area_m2;
    Monthly<SiteMonth> months{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        months[m].rain_mm = report.site.profile.months[m].rain_mm;
        if (area_m2 <= 0.0) continue;
        for (const ZonePlan& zone : report.plan.zones) {
            const double share = zone.counted_area_m2 / area_m2;
            months[m].need_mm += share * zone.months[m].need_mm;
            months[m].effective_rain_mm += share * zone.months[m].effective_rain_mm;
            months[m].net_mm += share * zone.months[m].net_mm * report.plan.site.season_share[m];
        }
    }
    return months;
}

}  // namespace thirstline
