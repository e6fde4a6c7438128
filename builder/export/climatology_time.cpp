#include "builder/export/climatology_time.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>

namespace thirstline {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// The first day of a month, counted from 0; month 12 is January of the next year.
std::chrono::sys_days first_day(int year, int month) {
    return std::chrono::sys_days{std::chrono::year{year + month / kMonths} /
                                 std::chrono::month{static_cast<unsigned>(month % kMonths + 1)} /
                                 1};
}

}  // namespace

std::optional<YearRange> years_of_period(std::string_view period) {
    std::optional<YearRange> years;
    std::size_t at = 0;
    while (at < period.size()) {
        if (!is_digit(period[at])) {
            ++at;
            continue;
        }
        std::size_t end = at;
        int number = 0;
        for (; end < period.size() && is_digit(period[end]); ++end)
            number = number < 10'000 ? number * 10 + (period[end] - '0') : number;
        if (end - at == 4) {
            if (!years) years = YearRange{number, number};
            years->first = std::min(years->first, number);
            years->last = std::max(years->last, number);
        }
        at = end;
    }
    return years;
}

ClimatologyTime climatology_time(YearRange years) {
    ClimatologyTime time;
    char text[32];
    std::snprintf(text, sizeof text, "days since %04d-01-01", years.first);
    time.units = text;
    const auto origin = first_day(years.first, 0);
    const auto days = [&origin](std::chrono::sys_days day) {
        return static_cast<double>((day - origin).count());
    };
    const int middle_year = (years.first + years.last) / 2;
    for (int month = 0; month < kMonths; ++month) {
        const auto index = static_cast<std::size_t>(month);
        time.start[index] = days(first_day(years.first, month));
        time.end[index] = days(first_day(years.last, month + 1));
        time.middle[index] =
            (days(first_day(middle_year, month)) + days(first_day(middle_year, month + 1))) / 2;
    }
    return time;
}

}  // namespace thirstline
