// A smooth daily curve through the year whose monthly means are exactly the normals.
//
// The running total of the year is known at the twelve month ends. Between them it is a periodic
// cubic spline in Hermite form, so that the daily rate, its slope, is continuous, also across the
// new year. The value of a day is the rise of the total over that day, so the days of a month add
// up to the month by construction, to rounding. (Epstein 1991, J. Climate 4, 365, and Rymes & Myers
// 2001, Solar Energy 71, 225, have the same aim; they use harmonics and iteration.)
//
// For quantities that cannot be negative, the slopes at the month ends are limited to the circle of
// Fritsch & Carlson (1980, SIAM J. Numer. Anal. 17, 238), within which a cubic over a rising total
// never falls.
//
// Days are those of a common year: 28 in February.
#pragma once

#include <array>
#include <vector>

#include "schema/base/calendar.hpp"

namespace thirstline {

inline constexpr int kDaysOfYear = 365;
inline constexpr int kWeeksOfYear = 52;  ///< the last has 8 days

using DailyCurve = std::array<double, kDaysOfYear>;

enum class CurveRange {
    any,             ///< such as a temperature
    never_negative,  ///< the monthly means must not be negative either
};

/// Daily values, 1 January first, in the unit of the means (a rate per day, or a level). Their mean
/// over each month equals that of `monthly_means` with a relative error of at most 1e-9.
[[nodiscard]] DailyCurve daily_curve(const Monthly<double>& monthly_means, CurveRange range);

/// First day (0 is 1 January) and length of a period of days.
struct DaySpan {
    int first_day = 0;
    int days = 1;
};

/// 365 spans of one day, or 52 of seven days with eight in the last.
[[nodiscard]] std::vector<DaySpan> days_of_year();
[[nodiscard]] std::vector<DaySpan> weeks_of_year();

[[nodiscard]] double total_over(const DailyCurve& curve, DaySpan span);

/// Month (0 to 11) and day of the month (1 to 31) of a day of the year, 0 to 364.
struct MonthDay {
    int month_index = 0;
    int day = 1;
};
[[nodiscard]] MonthDay month_day_of(int day_of_year);

}  // namespace thirstline
