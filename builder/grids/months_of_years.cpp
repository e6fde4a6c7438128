#include "builder/grids/months_of_years.hpp"

#include <algorithm>

#include "builder/grids/twelve_months.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

namespace {

/// The months' numbers, or nothing if a time has no year.
std::optional<std::vector<int>> numbers_of(const std::vector<BandTime>& times) {
    std::vector<int> numbers;
    for (const BandTime& time : times) {
        if (!time.year) return std::nullopt;
        numbers.push_back(month_number(*time.year, time.month));
    }
    return numbers;
}

bool may_be_ends(const std::vector<BandTime>& times, int first, int last) {
    return first % kMonths == 1 && last % kMonths == 0 && times.size() % kMonths == 0 &&
           std::all_of(times.begin(), times.end(),
                       [](const BandTime& time) { return time.starts_month; });
}

std::string range_text(int first, int last) {
    return month_of_year_text(first) + " to " + month_of_year_text(last);
}

/// Bands by month of the period, 0 where there is none; or the month that is there twice.
tl::expected<std::vector<int>, std::string> bands_by_month(const std::vector<int>& numbers,
                                                           const YearRange& years) {
    const int start = month_number(years.first, 0);
    std::vector<int> bands(static_cast<std::size_t>(years.count() * kMonths), 0);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        const int at = numbers[i] - start;
        if (at < 0 || at >= static_cast<int>(bands.size())) continue;
        int& band = bands[static_cast<std::size_t>(at)];
        if (band != 0) {
            const auto times = std::count(numbers.begin(), numbers.end(), numbers[i]);
            return tl::unexpected("has " + std::to_string(times) + " times in " +
                                  month_of_year_text(numbers[i]) +
                                  ", and a grid of years needs one for each month");
        }
        band = static_cast<int>(i) + 1;
    }
    return bands;
}

/// Why a period is not complete.
std::string lack_of(const std::vector<int>& bands, const YearRange& years, int first, int last) {
    const int start = month_number(years.first, 0);
    const int end = start + static_cast<int>(bands.size()) - 1;
    if (first > start || last < end)
        return "has the months from " + range_text(first, last) + ", and the period " +
               years.text() + " needs all from " + range_text(start, end);
    std::string listed;
    int more = 0;
    constexpr int kListed = 3;
    int found = 0;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        if (bands[i] != 0) continue;
        if (++found > kListed) {
            ++more;
            continue;
        }
        if (!listed.empty()) listed += ", ";
        listed += month_of_year_text(start + static_cast<int>(i));
    }
    if (more > 0) listed += " and " + std::to_string(more) + " more";
    return "lacks " + listed + " of the period " + years.text();
}

bool is_complete(const std::vector<int>& bands) {
    return std::find(bands.begin(), bands.end(), 0) == bands.end();
}

}  // namespace

std::string month_of_year_text(int month_number) {
    return std::string(kMonthNames[static_cast<std::size_t>(month_number % kMonths)]) + " " +
           std::to_string(month_number / kMonths);
}

tl::expected<MonthsOfYears, std::string> months_of_years(const std::vector<BandTime>& times,
                                                         const YearRange& years) {
    auto numbers = numbers_of(times);
    if (!numbers || numbers->empty()) return tl::unexpected<std::string>("has times without years");
    const auto [least, greatest] = std::minmax_element(numbers->begin(), numbers->end());
    const int first = *least;
    const int last = *greatest;
    if (first < 0) return tl::unexpected<std::string>("has times before the year 0");
    auto bands = bands_by_month(*numbers, years);
    if (!bands) return tl::unexpected(bands.error());
    if (may_be_ends(times, first, last)) {
        for (int& number : *numbers) --number;
        auto of_ends = bands_by_month(*numbers, years);
        if (!of_ends) return tl::unexpected(of_ends.error());
        if (is_complete(*bands) && is_complete(*of_ends))
            return tl::unexpected("has its times at 0 h on the first of the months from " +
                                  range_text(first, last) +
                                  ", which may be the months' starts or their ends");
        if (is_complete(*of_ends)) return MonthsOfYears{std::move(*of_ends), true};
    }
    if (!is_complete(*bands)) return tl::unexpected(lack_of(*bands, years, first, last));
    return MonthsOfYears{std::move(*bands), false};
}

std::optional<std::string> trouble_with_year(const std::vector<BandTime>& times, int year) {
    if (const auto trouble = trouble_with_months(times))
        return "does not run from January to December: " + *trouble;
    for (const BandTime& time : times) {
        if (!time.year) continue;
        // The end of December is in the next year.
        const bool is_end = time.month == 0 && time.starts_month && *time.year == year + 1 &&
                            &time == &times.back();
        if (*time.year != year && !is_end)
            return "has a time in " + month_of_year_text(month_number(*time.year, time.month));
    }
    return std::nullopt;
}

std::optional<std::string> trouble_with_month_of_year(const BandTime& time, int year, int month) {
    if (!time.year) return std::nullopt;
    const int there = month_number(*time.year, time.month);
    const int stated = month_number(year, month);
    if (there == stated || (time.starts_month && there == stated + 1)) return std::nullopt;
    return "has its time in " + month_of_year_text(there);
}

}  // namespace thirstline
