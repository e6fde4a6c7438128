#include "lookup/demand/effective_rain.hpp"

#include <algorithm>

namespace thirstline {
namespace {

double scs_with_rain_days_mm(const MonthClimate& month, double need_mm, double usable_storage_mm) {
    const double effective_mm = scs_effective_rain_mm(*month.rain_mm, need_mm, usable_storage_mm);
    if (!month.rain_days) return effective_mm;
    return std::min(effective_mm, *month.rain_days * usable_storage_mm);
}

}  // namespace

double dependable_rain_mm(double rain_mm, double need_mm) {
    const double dependable_mm = rain_mm <= 70.0 ? 0.6 * rain_mm - 10.0 : 0.8 * rain_mm - 24.0;
    return std::clamp(dependable_mm, 0.0, need_mm);
}

double effective_rain_mm(const MonthClimate& month, double need_mm, const RainCredit& credit,
                         double usable_storage_mm, double credited_share) {
    if (!month.rain_mm || month.tmean_c.value_or(kFrozenBelowC + 1.0) <= kFrozenBelowC) return 0.0;
    const double rain_mm = *month.rain_mm;
    switch (credit.rule) {
        case RainRule::none:
            return 0.0;
        case RainRule::half:
            return credited_share *
                   std::min(scs_with_rain_days_mm(month, need_mm, usable_storage_mm),
                            rain_mm / 2.0);
        case RainRule::scs:
            return scs_with_rain_days_mm(month, need_mm, usable_storage_mm);
        case RainRule::dependable:
            return dependable_rain_mm(rain_mm, need_mm);
        case RainRule::share:
            return std::min(credit.share * rain_mm, need_mm);
    }
    return 0.0;
}

}  // namespace thirstline
