// What a zone lacks by month, and how sure that is.
//
// Thread safety: pure functions.
#pragma once

#include <optional>

#include "lookup/demand/climate.hpp"
#include "lookup/demand/zone_numbers.hpp"
#include "schema/calendar.hpp"

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

/// Months are compared by their need a day, since they differ in length and what is set on a
/// controller is minutes a week. Under RainRule::half the peak month is found with half the rain
/// credited in every month, then its own credit is taken away: so it stays the peak.
[[nodiscard]] YearNeed year_need(const ZoneNumbers& zone, const SiteClimate& climate);

/// Standard error of a month's net need, mm: what the errors of ETo and of rain, one standard error
/// to either side, do to it, added as squares (independent errors; the first order of error
/// propagation). Empty where an error that matters is unknown.
[[nodiscard]] std::optional<double> net_need_se_mm(const ZoneNumbers& zone,
                                                   const SiteClimate& climate, int month_index,
                                                   bool is_peak_month);

/// Standard normal quantile of 80 in 100.
inline constexpr double kEightiethPercentile = 0.8416;

}  // namespace thirstline
