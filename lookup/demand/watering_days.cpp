#include "lookup/demand/watering_days.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <tuple>
#include <utility>

#include "schema/base/calendar.hpp"

namespace thirstline {
namespace {

constexpr std::uint32_t kEveryWeekday = 0x7F;
constexpr int kWidestStride = 8;
constexpr double kShareOfLeapYears = 0.25;
constexpr int kFebruary = 1;

std::uint32_t bit(int slot) {
    return std::uint32_t{1} << slot;
}

// --- By weekday ----------------------------------------------------------------------------------

std::uint32_t every_week(std::uint32_t week) {
    return week | week << 7 | week << 14 | week << 21;
}

struct Gaps {
    int longest = 0;
    int squared = 0;
};

void count_gap(Gaps& gaps, int days) {
    gaps.longest = std::max(gaps.longest, days);
    gaps.squared += days * days;
}

Gaps gaps_of_four_weeks(std::uint32_t slots) {
    Gaps gaps;
    int gap = 0;
    // Two cycles, so that the gap over the end is complete.
    for (int i = 0; i < 2 * kSlotsOfFourWeeks; ++i) {
        ++gap;
        if ((slots & bit(i % kSlotsOfFourWeeks)) == 0) continue;
        if (i >= kSlotsOfFourWeeks) count_gap(gaps, gap);
        gap = 0;
    }
    return gaps;
}

DayPattern weekday_pattern(std::uint32_t slots, int month_index) {
    const double per_week = std::popcount(slots) / 4.0;
    DayPattern pattern;
    pattern.slots = slots;
    pattern.days_in_month = per_week * kDaysInMonth[static_cast<std::size_t>(month_index)] / 7.0;
    pattern.nominal_per_week = per_week;
    const Gaps gaps = gaps_of_four_weeks(slots);
    pattern.longest_gap_days = gaps.longest;
    pattern.squared_gaps = gaps.squared;
    pattern.most_in_seven_days = std::max(1, static_cast<int>(per_week));
    return pattern;
}

std::uint32_t allowed_weekdays(const AllowedDays& allowed) {
    if (allowed.rule == DayRule::any) return kEveryWeekday;
    std::uint32_t week = 0;
    for (int day = 0; day < kWeekdays; ++day)
        if (allowed.weekdays[static_cast<std::size_t>(day)]) week |= bit(day);
    return week;
}

std::vector<DayPattern> weekday_patterns(std::uint32_t allowed_week, int days_cap,
                                         int month_index) {
    std::vector<DayPattern> patterns;
    if (days_cap < 1) return patterns;
    for (std::uint32_t week = 1; week <= kEveryWeekday; ++week) {
        if ((week & ~allowed_week) != 0 || std::popcount(week) > days_cap) continue;
        patterns.push_back(weekday_pattern(every_week(week), month_index));
        if (std::popcount(week) > 1) continue;
        for (const std::uint32_t fortnightly : {week | week << 14, week << 7 | week << 21}) {
            patterns.push_back(weekday_pattern(fortnightly, month_index));
        }
        for (int shift = 0; shift < kSlotsOfFourWeeks; shift += 7)
            patterns.push_back(weekday_pattern(week << shift, month_index));
    }
    return patterns;
}

Phrase weekday_pattern_name(std::uint32_t slots) {
    std::uint32_t week = 0;
    for (int shift = 0; shift < kSlotsOfFourWeeks; shift += 7) week |= slots >> shift;
    week &= kEveryWeekday;
    if (slots == every_week(kEveryWeekday)) return "days.every_day"_text;
    const int in_four_weeks = std::popcount(slots);
    if (in_four_weeks < 4) {
        const TextKey day = weekday_name(static_cast<std::size_t>(std::countr_zero(week)));
        const int first_week = std::countr_zero(slots) / kWeekdays + 1;
        Phrase name{in_four_weeks == 2 ? "days.every_other"_text : "days.every_4th"_text,
                    {{"day", day}}};
        if (first_week == 1) return name;
        return {"days.from_week"_text,
                {{"days", std::move(name)}, {"week", std::to_string(first_week)}}};
    }
    std::vector<Phrase> days;
    for (int day = 0; day < kWeekdays; ++day) {
        if ((week & bit(day)) != 0) days.emplace_back(weekday_label(static_cast<std::size_t>(day)));
    }
    return Phrase::joined(std::move(days), ", ");
}

// --- By date -------------------------------------------------------------------------------------

/// Allowed dates of a month with `days`, every `stride`-th from the one at `offset`.
std::vector<int> dates_of(DayRule rule, int days, int stride, int offset) {
    std::vector<int> dates;
    const int first = rule == DayRule::odd_dates ? 1 : 2;
    for (int date = first + 2 * offset; date <= days; date += 2 * stride) dates.push_back(date);
    return dates;
}

/// The next month's first date, at the same offset, if the pattern continues.
Gaps gaps_of_dates(const std::vector<int>& dates, int days) {
    Gaps gaps;
    count_gap(gaps, days - dates.back() + dates.front());
    for (std::size_t i = 1; i < dates.size(); ++i) count_gap(gaps, dates[i] - dates[i - 1]);
    return gaps;
}

/// Also over the end of the month.
int most_dates_in_seven_days(const std::vector<int>& dates, int days) {
    int most = 0;
    for (const int start : dates) {
        int count = 0;
        for (const int date : dates) {
            const int after = date >= start ? date - start : date + days - start;
            if (after < 7) ++count;
        }
        most = std::max(most, count);
    }
    return most;
}

DayPattern date_pattern(DayRule rule, int stride, int offset, int month_index) {
    const bool is_february = month_index == kFebruary;
    const int days = kWholeDaysInMonth[static_cast<std::size_t>(month_index)];
    const std::vector<int> dates = dates_of(rule, days, stride, offset);
    DayPattern pattern;
    pattern.rule = rule;
    for (const int date : dates) pattern.slots |= bit(date - 1);
    pattern.days_in_month = static_cast<double>(dates.size());
    pattern.nominal_per_week = 3.5 / stride;
    const Gaps gaps = gaps_of_dates(dates, days);
    pattern.longest_gap_days = gaps.longest;
    pattern.squared_gaps = gaps.squared;
    pattern.most_in_seven_days = most_dates_in_seven_days(dates, days);
    if (is_february) {
        const std::vector<int> leap = dates_of(rule, days + 1, stride, offset);
        if (leap.size() > dates.size()) {
            pattern.slots |= bit(days);
            pattern.days_in_month += kShareOfLeapYears;
        }
        pattern.longest_gap_days =
            std::max(pattern.longest_gap_days, gaps_of_dates(leap, days + 1).longest);
        pattern.most_in_seven_days =
            std::max(pattern.most_in_seven_days, most_dates_in_seven_days(leap, days + 1));
    }
    return pattern;
}

std::vector<DayPattern> date_patterns(DayRule rule, int days_cap, int month_index) {
    std::vector<DayPattern> patterns;
    for (int stride = 1; stride <= kWidestStride; ++stride) {
        for (int offset = 0; offset < stride; ++offset) {
            const DayPattern pattern = date_pattern(rule, stride, offset, month_index);
            if (pattern.most_in_seven_days <= days_cap) patterns.push_back(pattern);
        }
    }
    return patterns;
}

std::vector<int> dates_in(std::uint32_t slots) {
    std::vector<int> dates;
    for (int slot = 0; slot < 31; ++slot)
        if ((slots & bit(slot)) != 0) dates.push_back(slot + 1);
    return dates;
}

/// Days from one date to the next within the month; 0 for a single date.
int date_interval(std::uint32_t slots) {
    const std::vector<int> dates = dates_in(slots);
    return dates.size() < 2 ? 0 : dates[1] - dates[0];
}

/// "2nd"
Phrase ordinal_date(int date) {
    const Argument day{"day", std::to_string(date)};
    if (date / 10 != 1) {
        if (date % 10 == 1) return {"date.st"_text, {day}};
        if (date % 10 == 2) return {"date.nd"_text, {day}};
        if (date % 10 == 3) return {"date.rd"_text, {day}};
    }
    return {"date.th"_text, {day}};
}

Phrase date_pattern_name(const DayPattern& pattern, bool has_intervals) {
    switch (day_setting(pattern, has_intervals)) {
        case DaySetting::program:
            return pattern.rule == DayRule::odd_dates ? "days.every_odd_date"_text
                                                      : "days.every_even_date"_text;
        case DaySetting::date_interval:
            return {"days.every_days_from"_text,
                    {{"count", std::to_string(date_interval(pattern.slots))},
                     {"date", ordinal_date(std::countr_zero(pattern.slots) + 1)}}};
        case DaySetting::week_interval:
        case DaySetting::dates:
            break;
    }
    std::vector<Phrase> dates;
    for (const int date : dates_in(pattern.slots)) dates.push_back(ordinal_date(date));
    const TextKey key = dates.size() == 1 ? "days.on_date"_text : "days.on_dates"_text;
    return {key, {{"dates", Phrase::joined_with_and(std::move(dates))}}};
}

}  // namespace

std::vector<DayPattern> day_patterns(const DayLimits& limits, int month_index) {
    const AllowedDays& allowed = limits.allowed;
    const int days_cap = limits.days_per_week_cap.value_or(kWeekdays);
    std::vector<DayPattern> patterns =
        goes_by_date(allowed.rule)
            ? date_patterns(allowed.rule, days_cap, month_index)
            : weekday_patterns(allowed_weekdays(allowed), days_cap, month_index);
    const auto is_program = [](const DayPattern& pattern) {
        return day_setting(pattern, false) == DaySetting::program;
    };
    if (!limits.has_intervals && std::any_of(patterns.begin(), patterns.end(), is_program))
        std::erase_if(patterns, [&](const DayPattern& pattern) { return !is_program(pattern); });
    const auto order = [](const DayPattern& pattern) {
        return std::tuple(pattern.nominal_per_week, pattern.longest_gap_days, pattern.squared_gaps);
    };
    std::stable_sort(patterns.begin(), patterns.end(),
                     [&](const DayPattern& a, const DayPattern& b) { return order(a) < order(b); });
    // Of patterns with the same number of days a week, uneven ones are not useful.
    std::vector<DayPattern> even;
    for (const DayPattern& pattern : patterns) {
        const bool is_first =
            even.empty() || even.back().nominal_per_week != pattern.nominal_per_week;
        if (is_first || order(pattern) == order(even.back())) even.push_back(pattern);
    }
    return even;
}

DayPattern same_days_in_month(const DayPattern& pattern, int month_index) {
    if (!goes_by_date(pattern.rule)) return weekday_pattern(pattern.slots, month_index);
    const int stride = static_cast<int>(std::lround(3.5 / pattern.nominal_per_week));
    const int first_of_rule = pattern.rule == DayRule::odd_dates ? 0 : 1;
    const int offset = (std::countr_zero(pattern.slots) - first_of_rule) / 2;
    return date_pattern(pattern.rule, stride, offset, month_index);
}

bool limits_days(const DayLimits& limits) {
    return limits.allowed.rule != DayRule::any || limits.days_per_week_cap;
}

bool allows_days(const DayLimits& limits, const DayPattern& days) {
    if (days.most_in_seven_days > limits.days_per_week_cap.value_or(kWeekdays)) return false;
    if (limits.allowed.rule == DayRule::any) return true;
    if (goes_by_date(limits.allowed.rule)) return days.rule == limits.allowed.rule;
    const std::uint32_t allowed = every_week(allowed_weekdays(limits.allowed));
    return !goes_by_date(days.rule) && (days.slots & ~allowed) == 0;
}

DayPattern days_within_limits(const DayPattern& base, const DayLimits& limits, int month_index) {
    const DayPattern same = same_days_in_month(base, month_index);
    if (allows_days(limits, same)) return same;
    const std::vector<DayPattern> patterns = day_patterns(limits, month_index);
    const double least = std::min(1.0, base.nominal_per_week);
    const DayPattern* best = nullptr;
    for (const DayPattern& days : patterns) {
        if (days.nominal_per_week < least) continue;
        if (best != nullptr && days.nominal_per_week > base.nominal_per_week) break;
        // The first with the same number of days a week, so that zones share their nights.
        if (best == nullptr || days.nominal_per_week > best->nominal_per_week) best = &days;
    }
    return best != nullptr ? *best : patterns.back();
}

DaySetting day_setting(const DayPattern& pattern, bool has_intervals) {
    if (goes_by_date(pattern.rule)) {
        const int interval = date_interval(pattern.slots);
        if (interval == 2) return DaySetting::program;
        return has_intervals && interval > 0 ? DaySetting::date_interval : DaySetting::dates;
    }
    if (pattern.nominal_per_week >= 1.0) return DaySetting::program;
    return has_intervals ? DaySetting::week_interval : DaySetting::dates;
}

Phrase day_pattern_name(const DayPattern& pattern, bool has_intervals) {
    return goes_by_date(pattern.rule) ? date_pattern_name(pattern, has_intervals)
                                      : weekday_pattern_name(pattern.slots);
}

}  // namespace thirstline
