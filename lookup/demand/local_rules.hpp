// What the water supplier and the law allow at a site, in SI. Empty means: no such rule.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "lookup/demand/year_day.hpp"

namespace thirstline {

enum class DayRule { any, weekdays, odd_dates, even_dates };

[[nodiscard]] constexpr bool goes_by_date(DayRule rule) {
    return rule == DayRule::odd_dates || rule == DayRule::even_dates;
}

inline constexpr int kWeekdays = 7;
inline constexpr int kClockMinutes = 24 * 60;

/// Monday first.
inline constexpr std::array<std::string_view, kWeekdays> kWeekdayAbbreviations{
    "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

inline constexpr std::array<std::string_view, kWeekdays> kWeekdayNames{
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

using Weekdays = std::array<bool, kWeekdays>;  // Monday first

inline constexpr Weekdays kEveryDay{true, true, true, true, true, true, true};

struct AllowedDays {
    DayRule rule = DayRule::any;
    Weekdays weekdays{};  ///< for DayRule::weekdays, at least one

    friend bool operator==(const AllowedDays&, const AllowedDays&) = default;
};

/// A time of day, 0 to 1440 minutes after midnight.
struct ClockTime {
    int minutes = 0;
};

/// Hours without watering; a span over midnight is written as two.
struct BarredSpan {
    Weekdays weekdays = kEveryDay;
    int from_minutes = 0;            ///< after midnight
    int to_minutes = kClockMinutes;  ///< later than from, at most 1440

    friend bool operator==(const BarredSpan&, const BarredSpan&) = default;
};

/// Zones that the rules on days, depth, minutes and cycles do not bind. Rules on hours, flow and
/// volume bind all.
struct ExemptZones {
    bool drip = false;
    bool new_plantings = false;  ///< while on their establishment schedule
};

/// A watering restriction for a part of the year. What is given replaces the rule of the whole
/// year.
struct Restriction {
    YearSpan dates;
    std::optional<AllowedDays> allowed_days;
    std::optional<std::vector<BarredSpan>> barred_hours;
    std::optional<double> weekly_depth_cap_mm;
    std::optional<double> minutes_per_day_cap;
    std::optional<int> cycles_per_day_cap;
    std::optional<int> days_per_week_cap;
    std::optional<int> runs_per_week_cap;
};

struct LocalRules {
    AllowedDays allowed_days;
    std::optional<double> window_hours;         ///< a watering day's, above 0, to 24
    std::optional<ClockTime> window_start;      ///< of a window of known length
    std::vector<BarredSpan> barred_hours;       ///< hours of the day without watering
    std::optional<double> flow_l_per_min;       ///< what the site's connection gives at once
    std::optional<double> yearly_allowance_l;   ///< for all zones together
    std::optional<double> monthly_allowance_l;  ///< the same in every month
    std::optional<double> weekly_depth_cap_mm;  ///< gross, for each zone
    std::optional<double> minutes_per_day_cap;  ///< of each zone
    std::optional<int> cycles_per_day_cap;      ///< of each zone, 1 or more
    std::optional<int> days_per_week_cap;       ///< watering days of each zone, 1 to 7
    std::optional<int> runs_per_week_cap;       ///< starts of each zone's valve, 1 or more
    ExemptZones exempt;
    std::vector<Restriction> restrictions;  ///< no day in two of them
};

}  // namespace thirstline
