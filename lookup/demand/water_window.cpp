#include "lookup/demand/water_window.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

constexpr double kStartStepMinutes = 5.0;
constexpr double kWindowTolerance = 1e-9;

using Permitted = std::array<bool, kClockMinutes>;

bool is_allowed_weekday(const AllowedDays& days, std::size_t weekday) {
    return days.rule != DayRule::weekdays || days.weekdays[weekday];
}

bool binds_an_allowed_day(const BarredSpan& span, const AllowedDays& days) {
    for (std::size_t d = 0; d < span.weekdays.size(); ++d)
        if (span.weekdays[d] && is_allowed_weekday(days, d)) return true;
    return false;
}

Permitted permitted_minutes(const LocalRules& rules, bool with_barred) {
    Permitted permitted{};
    permitted.fill(true);
    if (rules.window_start && rules.window_hours) {
        permitted.fill(false);
        const int count = static_cast<int>(std::lround(*rules.window_hours * kMinutesPerHour));
        for (int i = 0; i < std::min(count, kClockMinutes); ++i)
            permitted[static_cast<std::size_t>((rules.window_start->minutes + i) % kClockMinutes)] =
                true;
    }
    if (!with_barred) return permitted;
    for (const BarredSpan& span : rules.barred_hours) {
        if (!binds_an_allowed_day(span, rules.allowed_days)) continue;
        for (int i = span.from_minutes; i < span.to_minutes; ++i)
            permitted[static_cast<std::size_t>(i)] = false;
    }
    return permitted;
}

/// Whether every day is a watering day, or no rule limits days: then a night may pass midnight.
bool may_pass_midnight(const LocalRules& rules) {
    return rules.allowed_days.rule == DayRule::any && !rules.days_per_week_cap;
}

WaterWindow longest_stretch(const Permitted& permitted, bool over_midnight) {
    WaterWindow longest{0.0, 0.0, false, over_midnight};
    const int end = over_midnight ? 2 * kClockMinutes : kClockMinutes;
    int length = 0;
    for (int i = 0; i < end; ++i) {
        length = permitted[static_cast<std::size_t>(i % kClockMinutes)] ? length + 1 : 0;
        if (length <= longest.minutes || length > kClockMinutes) continue;
        longest = {static_cast<double>((i + 1 - length) % kClockMinutes),
                   static_cast<double>(length), false, over_midnight};
    }
    return longest;
}

}  // namespace

WaterWindow water_window(const LocalRules& rules) {
    const bool over_midnight = may_pass_midnight(rules);
    WaterWindow window = longest_stretch(permitted_minutes(rules, true), over_midnight);
    const WaterWindow unbarred = longest_stretch(permitted_minutes(rules, false), over_midnight);
    const double wanted = rules.window_hours
                              ? std::min(*rules.window_hours * kMinutesPerHour, unbarred.minutes)
                              : unbarred.minutes;
    window.is_cut_by_barred_hours = window.minutes < wanted - kWindowTolerance;
    return window;
}

double window_minutes(const LocalRules& rules) {
    const double stretch = water_window(rules).minutes;
    return rules.window_hours ? std::min(stretch, *rules.window_hours * kMinutesPerHour) : stretch;
}

double practical_night_minutes(const LocalRules& rules) {
    const double minutes = window_minutes(rules);
    return rules.window_hours ? minutes : std::min(minutes, kPracticalNightMinutes);
}

double start_of_night(const WaterWindow& window, double night_minutes) {
    const bool is_round_the_clock = window.may_pass_midnight && window.minutes >= kClockMinutes;
    if (is_round_the_clock && night_minutes > kNightEndsMinutes) {
        const double evening =
            std::max(kEveningStartsMinutes, kClockMinutes + kNightEndsMinutes - night_minutes);
        return std::floor(evening / kStartStepMinutes + kWindowTolerance) * kStartStepMinutes;
    }
    const double last_start =
        std::max(window.from_minutes, window.from_minutes + window.minutes - night_minutes);
    // 6:00 of the watering day, or of the next day if the window continues past midnight.
    double ends = kNightEndsMinutes;
    if (ends < window.from_minutes) ends += kClockMinutes;
    const double start = std::clamp(ends - night_minutes, window.from_minutes, last_start);
    const double in_steps =
        std::floor(start / kStartStepMinutes + kWindowTolerance) * kStartStepMinutes;
    return std::max(in_steps, window.from_minutes);
}

}  // namespace thirstline
