// What the water supplier and local law allow at a site, in SI. Empty means that there is no such
// rule.
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

/// Hours in which watering is not allowed; a span over midnight is given as two.
struct BarredSpan {
    Weekdays weekdays = kEveryDay;
    int from_minutes = 0;            ///< after midnight
    int to_minutes = kClockMinutes;  ///< later than from, at most 1440

    friend bool operator==(const BarredSpan&, const BarredSpan&) = default;
};

/// Zones that are exempt from the rules on days, depth, minutes and cycles. Rules on hours, flow
/// and volume apply to all zones.
struct ExemptZones {
    bool drip = false;
    bool new_plantings = false;  ///< while on their establishment schedule
};

/// A watering restriction for a part of the year. Each value that is given replaces the rule of the
/// whole year.
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
    std::optional<double> window_hours;         ///< per watering day, above 0, to 24
    std::optional<ClockTime> window_start;      ///< of a window of known length
    std::vector<BarredSpan> barred_hours;       ///< hours of the day in which watering is not
                                                ///< allowed
    std::optional<double> flow_l_per_min;       ///< maximum flow of the site's connection
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
