// What a zone lacks by month, and how sure that is.
#pragma once

#include <algorithm>
#include <optional>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/zone_numbers.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct MonthNeed {
    double need_mm = 0.0;  ///< of the plants; 0 when dormant
    double effective_rain_mm = 0.0;
    double net_mm = 0.0;
    double net_mm_per_day = 0.0;
};

struct YearNeed {
    Monthly<MonthNeed> months;
    std::optional<int> peak_month_index;  ///< 0 to 11, of net need a day, the first of equals
    double uncredited_rain_mm = 0.0;      ///< what RainRule::half takes away from the peak month
};

/// Up to this share of the greatest need, RainRule::half credits the whole half. Our own rule.
inline constexpr double kWholeCreditBelowShare = 0.5;

/// What RainRule::half credits of a month's half, 0 to 1, by the month's need as a share, 0 to 1,
/// of the greatest of any month: all up to kWholeCreditBelowShare, none at 1, in between along a
/// straight line. The need that is compared is midway between that without rain and that with half
/// of it, a day: by the latter alone, a month of little more need than its neighbors would get no
/// credit beside theirs and stand out as a spike. Of two months the one that needs more, both with
/// the rain and without, never gets less.
[[nodiscard]] constexpr double credited_share_of_half(double share_of_greatest) {
    return std::clamp((1.0 - share_of_greatest) / (1.0 - kWholeCreditBelowShare), 0.0, 1.0);
}

/// Months are compared by their need a day, since they differ in length and what is set on a
/// controller is minutes a week. Under RainRule::half, `credited_share_of_half` says how much
/// of it is credited in each month; the month that then needs most is the peak, and gets no credit.
[[nodiscard]] YearNeed year_need(const ZoneNumbers& zone, const SiteClimate& climate);

/// Standard error of a month's net need, mm: what the errors of ETo and of rain, one standard error
/// to either side, do to it under the same `credited_share` of RainRule::half, added as squares
/// (independent errors; the first order of error propagation). Empty where an error that matters is
/// unknown.
[[nodiscard]] std::optional<double> net_need_se_mm(const ZoneNumbers& zone,
                                                   const SiteClimate& climate, int month_index,
                                                   double credited_share = 1.0);

/// Standard normal quantile of 80 in 100.
inline constexpr double kEightiethPercentile = 0.8416;

}  // namespace thirstline
