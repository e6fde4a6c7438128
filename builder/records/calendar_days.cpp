#include "builder/records/calendar_days.hpp"

#include <chrono>

#include "schema/base/calendar.hpp"

namespace thirstline {

int days_in_month(int year, int month) {
    const bool is_leap_february = month == 1 && std::chrono::year(year).is_leap();
    return is_leap_february ? 29 : kWholeDaysInMonth[static_cast<std::size_t>(month)];
}

std::optional<RecordDay> record_day(int year, int month, int day) {
    if (month < 0 || month >= kMonths || day < 1 || day > days_in_month(year, month))
        return std::nullopt;
    return RecordDay{year, month, day};
}

std::optional<RecordDay> day_of_year(int year, int number) {
    if (number < 1) return std::nullopt;
    for (int month = 0; month < kMonths; ++month) {
        const int days = days_in_month(year, month);
        if (number <= days) return RecordDay{year, month, number};
        number -= days;
    }
    return std::nullopt;
}

RecordDay days_later(const RecordDay& day, int days) {
    using namespace std::chrono;
    const sys_days start = sys_days(year(day.year) / month(static_cast<unsigned>(day.month + 1)) /
                                    std::chrono::day(static_cast<unsigned>(day.day)));
    const year_month_day later(start + std::chrono::days(days));
    return {static_cast<int>(later.year()),
            static_cast<int>(static_cast<unsigned>(later.month())) - 1,
            static_cast<int>(static_cast<unsigned>(later.day()))};
}

int number_in_year(const RecordDay& day) {
    int number = day.day;
    for (int month = 0; month < day.month; ++month) number += days_in_month(day.year, month);
    return number;
}

}  // namespace thirstline
