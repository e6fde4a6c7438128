#include "builder/grids/netcdf_months.hpp"

#include <gdal_priv.h>

#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string_view>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

struct Time {
    int month = 0;              ///< 0 is January
    bool starts_month = false;  ///< it is the first instant of the month
};

/// The parts of "months since 1976-01-01".
struct TimeUnit {
    std::string step;
    int year = 0;
    int month = 0;
    int day = 0;
};

/// The calendars of CF in which a day of a count has a date here.
enum class Calendar { gregorian, no_leap_years, months_of_30_days };

std::optional<Calendar> calendar_by_name(const char* name) {
    if (name == nullptr) return Calendar::gregorian;
    const std::string known = ascii_lower(name);
    if (known == "standard" || known == "gregorian" || known == "proleptic_gregorian")
        return Calendar::gregorian;
    if (known == "noleap" || known == "365_day") return Calendar::no_leap_years;
    if (known == "360_day") return Calendar::months_of_30_days;
    return std::nullopt;
}

std::optional<TimeUnit> parsed_time_unit(const char* text) {
    std::array<char, 16> step{};
    TimeUnit unit;
    if (std::sscanf(text, "%15s since %d-%d-%d", step.data(), &unit.year, &unit.month, &unit.day) !=
        4) {
        return std::nullopt;
    }
    unit.step = step.data();
    if (!unit.step.empty() && unit.step.back() == 's') unit.step.pop_back();
    const std::chrono::year_month_day date{std::chrono::year(unit.year),
                                           std::chrono::month(static_cast<unsigned>(unit.month)),
                                           std::chrono::day(static_cast<unsigned>(unit.day))};
    if (!date.ok()) return std::nullopt;
    return unit;
}

/// Of a whole day, counted from 1 January of a year that is not a leap year.
Time time_in_common_year(int day_of_year, bool starts_day) {
    int month = 0;
    while (day_of_year >= kWholeDaysInMonth[static_cast<std::size_t>(month)])
        day_of_year -= kWholeDaysInMonth[static_cast<std::size_t>(month++)];
    return {month, starts_day && day_of_year == 0};
}

int remainder_of(int value, int divisor) {
    return (value % divisor + divisor) % divisor;
}

Time time_of_day_count(const TimeUnit& unit, Calendar calendar, int days, bool starts_day) {
    if (calendar == Calendar::months_of_30_days) {
        const int day_of_year = remainder_of((unit.month - 1) * 30 + unit.day - 1 + days, 360);
        return {day_of_year / 30, starts_day && day_of_year % 30 == 0};
    }
    if (calendar == Calendar::no_leap_years) {
        int day_of_year = unit.day - 1;
        for (int month = 0; month + 1 < unit.month; ++month)
            day_of_year += kWholeDaysInMonth[static_cast<std::size_t>(month)];
        return time_in_common_year(remainder_of(day_of_year + days, 365), starts_day);
    }
    using namespace std::chrono;
    const sys_days start = sys_days(year(unit.year) / month(static_cast<unsigned>(unit.month)) /
                                    day(static_cast<unsigned>(unit.day)));
    const year_month_day date(start + std::chrono::days(days));
    return {static_cast<int>(static_cast<unsigned>(date.month())) - 1,
            starts_day && date.day() == day(1)};
}

std::optional<Time> time_of(const TimeUnit& unit, Calendar calendar, double steps) {
    if (unit.step == "month") {
        const double months = unit.month - 1 + std::floor(steps);
        return Time{static_cast<int>(months - 12.0 * std::floor(months / 12.0)),
                    steps == std::floor(steps) && unit.day == 1};
    }
    double steps_a_day = 0.0;
    if (unit.step == "day") steps_a_day = 1.0;
    if (unit.step == "hour") steps_a_day = 24.0;
    if (unit.step == "minute") steps_a_day = 1440.0;
    if (unit.step == "second") steps_a_day = 86400.0;
    if (steps_a_day == 0.0) return std::nullopt;
    const double days = steps / steps_a_day;
    if (!(std::abs(days) < 4e6)) return std::nullopt;  // about 10 000 years
    return time_of_day_count(unit, calendar, static_cast<int>(std::floor(days)),
                             days == std::floor(days));
}

/// Numbers of months, as files of normals have: 1 to 12 in any order, without a date. Nothing if
/// they are other numbers.
std::optional<std::vector<Time>> times_of_month_numbers(const std::vector<double>& numbers) {
    if (numbers.size() != kMonths) return std::nullopt;
    std::vector<Time> times;
    unsigned found = 0;
    for (const double number : numbers) {
        if (number != std::floor(number) || number < 1.0 || number > kMonths) return std::nullopt;
        times.push_back({static_cast<int>(number) - 1, false});
        found |= 1U << times.back().month;
    }
    if (found != (1U << kMonths) - 1U) return std::nullopt;
    return times;
}

/// Of every band; nothing if they cannot be dated.
std::optional<std::vector<Time>> times_of(GDALDataset& dataset, const std::string& axis) {
    std::vector<double> values;
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        const char* value =
            dataset.GetRasterBand(band)->GetMetadataItem(("NETCDF_DIM_" + axis).c_str());
        if (value == nullptr) return std::nullopt;
        values.push_back(CPLAtof(value));
    }
    const char* unit_text = dataset.GetMetadataItem((axis + "#units").c_str());
    const std::string plain_unit = unit_text == nullptr ? "" : ascii_lower(unit_text);
    const bool counts_months =
        plain_unit == "month" || plain_unit == "months" ||
        (ascii_lower(axis) == "month" && (plain_unit.empty() || plain_unit == "1"));
    if (counts_months) return times_of_month_numbers(values);
    if (unit_text == nullptr) return std::nullopt;
    const std::optional<Calendar> calendar =
        calendar_by_name(dataset.GetMetadataItem((axis + "#calendar").c_str()));
    const std::optional<TimeUnit> unit = parsed_time_unit(unit_text);
    if (!calendar || !unit) return std::nullopt;
    std::vector<Time> times;
    for (const double value : values) {
        const std::optional<Time> time = time_of(*unit, *calendar, value);
        if (!time) return std::nullopt;
        times.push_back(*time);
    }
    return times;
}

}  // namespace

std::optional<std::string> trouble_with_months(GDALDataset& dataset) {
    const char* extra = dataset.GetMetadataItem("NETCDF_DIM_EXTRA");
    if (extra == nullptr) return std::nullopt;
    std::string_view axis(extra);
    if (axis.size() < 3 || axis.front() != '{' || axis.back() != '}') return std::nullopt;
    axis = axis.substr(1, axis.size() - 2);
    if (axis.find(',') != std::string_view::npos) return std::nullopt;
    const std::string name(axis);

    const std::optional<std::vector<Time>> found = times_of(dataset, name);
    if (!found) return std::nullopt;
    const std::vector<Time>& times = *found;
    constexpr std::array<std::string_view, 12> kOrdinals{"first", "second", "third",    "fourth",
                                                         "fifth", "sixth",  "seventh",  "eighth",
                                                         "ninth", "tenth",  "eleventh", "twelfth"};
    bool at_starts = true;
    bool at_ends = true;
    std::size_t odd = 0;
    for (std::size_t i = times.size(); i-- > 0;) {
        const int month = static_cast<int>(i) % kMonths;
        if (times[i].month != month) {
            at_starts = false;
            odd = i;
        }
        at_ends = at_ends && times[i].starts_month && previous_month(times[i].month) == month;
    }
    if (at_starts || at_ends) return std::nullopt;
    return "its " + std::string(kOrdinals[odd % kOrdinals.size()]) + " time is in " +
           std::string(kMonthNames[static_cast<std::size_t>(times[odd].month)]);
}

}  // namespace thirstline
