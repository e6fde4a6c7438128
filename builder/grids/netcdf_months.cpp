#include "builder/grids/netcdf_months.hpp"

#include <gdal_priv.h>

#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string_view>
#include <vector>

#include "schema/base/calendar.hpp"

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

std::optional<Time> time_of(const TimeUnit& unit, double steps) {
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
    using namespace std::chrono;
    const sys_days start = sys_days(year(unit.year) / month(static_cast<unsigned>(unit.month)) /
                                    day(static_cast<unsigned>(unit.day)));
    const year_month_day date(start + std::chrono::days(static_cast<int>(std::floor(days))));
    return Time{static_cast<int>(static_cast<unsigned>(date.month())) - 1,
                days == std::floor(days) && date.day() == day(1)};
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

    const char* calendar = dataset.GetMetadataItem((name + "#calendar").c_str());
    if (calendar != nullptr) {
        const std::string_view known(calendar);
        if (known != "standard" && known != "gregorian" && known != "proleptic_gregorian")
            return std::nullopt;
    }
    const char* unit_text = dataset.GetMetadataItem((name + "#units").c_str());
    if (unit_text == nullptr) return std::nullopt;
    const std::optional<TimeUnit> unit = parsed_time_unit(unit_text);
    if (!unit) return std::nullopt;

    std::vector<Time> times;
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        const char* value =
            dataset.GetRasterBand(band)->GetMetadataItem(("NETCDF_DIM_" + name).c_str());
        if (value == nullptr) return std::nullopt;
        const std::optional<Time> time = time_of(*unit, CPLAtof(value));
        if (!time) return std::nullopt;
        times.push_back(*time);
    }
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
    return "its " + std::string(kOrdinals[odd % kOrdinals.size()]) + " time lies in " +
           std::string(kMonthNames[static_cast<std::size_t>(times[odd].month)]);
}

}  // namespace thirstline
