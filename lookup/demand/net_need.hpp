// A zone's net need by month, and its uncertainty.
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
    std::optional<int> peak_month_index;  ///< 0 to 11, of net need per day, the first of equal
                                          ///< months
    double uncredited_rain_mm = 0.0;      ///< what RainRule::half does not credit in the peak month
};

/// Up to this share of the greatest need, RainRule::half credits the whole half. Our own rule.
inline constexpr double kWholeCreditBelowShare = 0.5;

/// The share of a month's half that RainRule::half credits, 0 to 1, by the month's need as a share,
/// 0 to 1, of the greatest need of any month: all up to kWholeCreditBelowShare, none at 1, linear
/// in between. The need compared is midway between the need without rain and the need with half of
/// it, per day. With the latter alone, a month of slightly more need than its neighbors would get
/// no credit while they do, and would show as a spike. Of two months, the one that needs more, both
/// with the rain and without, never gets less.
[[nodiscard]] constexpr double credited_share_of_half(double share_of_greatest) {
    return std::clamp((1.0 - share_of_greatest) / (1.0 - kWholeCreditBelowShare), 0.0, 1.0);
}

/// Months are compared by their need per day, because they differ in length and controllers are set
/// in minutes per week. Under RainRule::half, `credited_share_of_half` gives the share that is
/// credited in each month; the month that then needs most is the peak and gets no credit.
[[nodiscard]] YearNeed year_need(const ZoneNumbers& zone, const SiteClimate& climate);

/// Standard error of a month's net need, mm: the change caused by the errors of ETo and of rain,
/// one standard error to either side, under the same `credited_share` of RainRule::half, added as
/// squares (independent errors; first-order error propagation). Empty if an error that matters is
/// unknown.
[[nodiscard]] std::optional<double> net_need_se_mm(const ZoneNumbers& zone,
                                                   const SiteClimate& climate, int month_index,
                                                   double credited_share = 1.0);

/// Standard normal quantile of 0.80.
inline constexpr double kEightiethPercentile = 0.8416;

}  // namespace thirstline
