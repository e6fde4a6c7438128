// Days of the Gregorian calendar, in which all records are dated. Months count from 0, days from 1.
#pragma once

#include <optional>

namespace thirstline {

struct RecordDay {
    int year = 0;
    int month = 0;  ///< 0 is January
    int day = 1;    ///< of the month
    bool operator==(const RecordDay&) const = default;
};

/// 28 to 31.
[[nodiscard]] int days_in_month(int year, int month);

/// Nothing if there is no such day, such as 29 February 2001. Month: 0 to 11.
[[nodiscard]] std::optional<RecordDay> record_day(int year, int month, int day);

/// From the day of the year, 1 to 366; nothing for day 366 of a common year.
[[nodiscard]] std::optional<RecordDay> day_of_year(int year, int number);

/// Negative for days before.
[[nodiscard]] RecordDay days_later(const RecordDay& day, int days);

/// 1 to 366.
[[nodiscard]] int number_in_year(const RecordDay& day);

}  // namespace thirstline
