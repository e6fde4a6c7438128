// Days and spans of any year, such as the season or the dates of a watering restriction.
#pragma once

#include "schema/base/calendar.hpp"

namespace thirstline {

/// A day of any year: month 1 to 12, day 1 to 31.
struct YearDay {
    int month = 1;
    int day = 1;
};

/// Both days included; over the end of the year if `last` is earlier in the year.
struct YearSpan {
    YearDay first;
    YearDay last;
};

/// Days of the year in order, including 29 February.
[[nodiscard]] constexpr int order_in_year(const YearDay& day) {
    return day.month * 100 + day.day;
}

[[nodiscard]] constexpr bool contains(const YearSpan& span, const YearDay& day) {
    const int first = order_in_year(span.first);
    const int last = order_in_year(span.last);
    const int place = order_in_year(day);
    return first <= last ? place >= first && place <= last : place >= first || place <= last;
}

/// Of a common year; month_index 0 to 11.
[[nodiscard]] constexpr int days_of_month_within(const YearSpan& span, int month_index) {
    int count = 0;
    for (int day = 1; day <= kWholeDaysInMonth[static_cast<std::size_t>(month_index)]; ++day)
        if (contains(span, {month_index + 1, day})) ++count;
    return count;
}

}  // namespace thirstline
