#include "builder/grids/band_times.hpp"

#include <gdal_priv.h>

#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

#include "schema/base/calendar.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// The parts of "months since 1976-01-01".
struct TimeUnit {
    std::string step;
    int year = 0;
    int month = 0;
    int day = 0;
};

/// The calendars of CF in which a day of a count has a date here.
enum class Calendar { mixed, gregorian, no_leap_years, months_of_30_days };

std::optional<Calendar> calendar_by_name(const char* name) {
    if (name == nullptr) return Calendar::mixed;
    const std::string known = ascii_lower(name);
    if (known == "standard" || known == "gregorian") return Calendar::mixed;
    if (known == "proleptic_gregorian") return Calendar::gregorian;
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

int quotient_of(int value, int divisor) {
    return static_cast<int>(std::floor(static_cast<double>(value) / divisor));
}

/// Of a whole day, counted from 1 January of year 0, if no year is a leap year.
BandTime time_without_leap_years(int days, bool starts_day) {
    constexpr int kDaysOfYear = 365;
    const int year = quotient_of(days, kDaysOfYear);
    int day_of_year = days - year * kDaysOfYear;
    int month = 0;
    while (day_of_year >= kWholeDaysInMonth[static_cast<std::size_t>(month)])
        day_of_year -= kWholeDaysInMonth[static_cast<std::size_t>(month++)];
    return {year, month, starts_day && day_of_year == 0};
}

/// The start of the count as a day. CF's standard calendar is the Julian one before 15 October
/// 1582, in which 1 January of year 1 is two days earlier.
std::chrono::sys_days start_of_count(const TimeUnit& unit, Calendar calendar) {
    using namespace std::chrono;
    const sys_days day = sys_days(year(unit.year) / month(static_cast<unsigned>(unit.month)) /
                                  std::chrono::day(static_cast<unsigned>(unit.day)));
    constexpr sys_days kFirstGregorianDay = sys_days(year(1582) / October / 15);
    if (calendar != Calendar::mixed || day >= kFirstGregorianDay) return day;
    // The number of the day by the usual formula; 1 January 1970 is 2 440 588.
    const int before_march = unit.month < 3 ? 1 : 0;
    const int years = unit.year + 4800 - before_march;
    const int months = unit.month + 12 * before_march - 3;
    const int number = unit.day + (153 * months + 2) / 5 + 365 * years + years / 4 - 32083;
    return sys_days(days(number - 2440588));
}

BandTime time_of_date(std::chrono::sys_days day, bool starts_day) {
    using namespace std::chrono;
    const year_month_day date(day);
    return {static_cast<int>(date.year()),
            static_cast<int>(static_cast<unsigned>(date.month())) - 1,
            starts_day && date.day() == std::chrono::day(1)};
}

BandTime time_of_day_count(const TimeUnit& unit, Calendar calendar, int days, bool starts_day) {
    if (calendar == Calendar::months_of_30_days) {
        const int day = unit.year * 360 + (unit.month - 1) * 30 + unit.day - 1 + days;
        const int months = quotient_of(day, 30);
        const int year = quotient_of(months, kMonths);
        return {year, months - year * kMonths, starts_day && day == months * 30};
    }
    if (calendar == Calendar::no_leap_years) {
        int day = unit.year * 365 + unit.day - 1 + days;
        for (int month = 0; month + 1 < unit.month; ++month)
            day += kWholeDaysInMonth[static_cast<std::size_t>(month)];
        return time_without_leap_years(day, starts_day);
    }
    return time_of_date(start_of_count(unit, calendar) + std::chrono::days(days), starts_day);
}

std::optional<BandTime> time_of(const TimeUnit& unit, Calendar calendar, double steps) {
    constexpr double kMaxDaysOfCount = 4e6;  // about 10 000 years
    if (unit.step == "month") {
        if (!(std::abs(steps) < kMaxDaysOfCount / 30.0)) return std::nullopt;
        const int months =
            month_number(unit.year, unit.month - 1) + static_cast<int>(std::floor(steps));
        const int year = quotient_of(months, kMonths);
        return BandTime{year, months - year * kMonths, steps == std::floor(steps) && unit.day == 1};
    }
    double steps_a_day = 0.0;
    if (unit.step == "day") steps_a_day = 1.0;
    if (unit.step == "hour") steps_a_day = 24.0;
    if (unit.step == "minute") steps_a_day = 1440.0;
    if (unit.step == "second") steps_a_day = 86400.0;
    if (steps_a_day == 0.0) return std::nullopt;
    const double days = steps / steps_a_day;
    if (!(std::abs(days) < kMaxDaysOfCount)) return std::nullopt;
    return time_of_day_count(unit, calendar, static_cast<int>(std::floor(days)),
                             days == std::floor(days));
}

/// Numbers of months, as files of normals have: 1 to 12 in any order, without a date. Nothing if
/// they are other numbers.
std::optional<std::vector<BandTime>> times_of_month_numbers(const std::vector<double>& numbers) {
    if (numbers.size() != kMonths) return std::nullopt;
    std::vector<BandTime> times;
    unsigned found = 0;
    for (const double number : numbers) {
        if (number != std::floor(number) || number < 1.0 || number > kMonths) return std::nullopt;
        times.push_back({std::nullopt, static_cast<int>(number) - 1, false});
        found |= 1U << times.back().month;
    }
    if (found != (1U << kMonths) - 1U) return std::nullopt;
    return times;
}

std::optional<std::vector<BandTime>> times_of_netcdf(GDALDataset& dataset,
                                                     const std::string& axis) {
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
    std::vector<BandTime> times;
    for (const double value : values) {
        const std::optional<BandTime> time = time_of(*unit, *calendar, value);
        if (!time) return std::nullopt;
        times.push_back(*time);
    }
    return times;
}

/// The times for which the messages are valid: "1577836800 sec UTC".
std::optional<std::vector<BandTime>> times_of_grib(GDALDataset& dataset) {
    constexpr double kSecondsOfDay = 86400.0;
    std::vector<BandTime> times;
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        const char* text = dataset.GetRasterBand(band)->GetMetadataItem("GRIB_VALID_TIME");
        if (text == nullptr) return std::nullopt;
        const double days = CPLAtof(text) / kSecondsOfDay;
        if (!(std::abs(days) < 4e6)) return std::nullopt;
        const double whole = std::floor(days);
        times.push_back(time_of_date(
            std::chrono::sys_days(std::chrono::days(static_cast<int>(whole))), days == whole));
    }
    return times;
}

}  // namespace

std::optional<std::vector<BandTime>> band_times(GDALDataset& dataset) {
    if (dataset.GetRasterCount() == 0) return std::nullopt;
    if (dataset.GetRasterBand(1)->GetMetadataItem("GRIB_VALID_TIME") != nullptr)
        return times_of_grib(dataset);
    const char* extra = dataset.GetMetadataItem("NETCDF_DIM_EXTRA");
    if (extra == nullptr) return std::nullopt;
    std::string_view axis(extra);
    if (axis.size() < 3 || axis.front() != '{' || axis.back() != '}') return std::nullopt;
    axis = axis.substr(1, axis.size() - 2);
    if (axis.find(',') != std::string_view::npos) return std::nullopt;
    return times_of_netcdf(dataset, std::string(axis));
}

}  // namespace thirstline
