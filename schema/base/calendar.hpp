// Months: index 0 is January. February has 28.25 days, so a monthly total is the daily mean times
// the days of an average year of the Gregorian calendar.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace thirstline {

inline constexpr int kMonths = 12;

/// One value a month, January first.
template <class T>
using Monthly = std::array<T, kMonths>;

[[nodiscard]] inline bool all_finite(const Monthly<double>& values) {
    return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

inline constexpr Monthly<double> kDaysInMonth{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/// Days of a common year, for calendars of 365 days.
inline constexpr Monthly<int> kWholeDaysInMonth{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

inline constexpr Monthly<std::string_view> kMonthNames{
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};

inline constexpr Monthly<std::string_view> kMonthAbbreviations{
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

/// The month before and the month after, in a cyclic year.
[[nodiscard]] constexpr int previous_month(int month_index) {
    return (month_index + 11) % kMonths;
}
[[nodiscard]] constexpr int next_month(int month_index) {
    return (month_index + 1) % kMonths;
}

}  // namespace thirstline
