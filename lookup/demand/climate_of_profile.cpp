#include "lookup/demand/climate_of_profile.hpp"

#include <string>

namespace thirstline {

Result<SiteClimate> climate_of_profile(const SiteProfile& profile, ReferenceCrop reference) {
    SiteClimate climate;
    climate.reference = reference;
    if (profile.point.elevation_m)
        climate.elevation_m = *profile.point.elevation_m + profile.point.shifted_by_m;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& from = profile.months[m];
        MonthClimate& to = climate.months[m];
        if (!from.eto_mm || !from.eto_mm_per_day) {
            return fail(ErrorCode::no_data,
                        "the file has no reference ET for " + std::string(kMonthNames[m]) +
                            " here, and a plan needs all twelve months",
                        "give your own record of the missing months");
        }
        to.eto_mm = *from.eto_mm;
        to.eto_mm_per_day = *from.eto_mm_per_day;
        to.eto_se_mm = from.eto_se_mm;
        to.rain_mm = from.rain_mm;
        to.rain_se_mm = from.rain_se_mm;
        if (from.tmax_c && from.tmin_c) to.tmean_c = (*from.tmax_c + *from.tmin_c) / 2.0;
        to.tmin_c = from.tmin_c;
    }
    return climate;
}

}  // namespace thirstline
