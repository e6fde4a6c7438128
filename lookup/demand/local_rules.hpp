// What the water supplier and the law allow at a site, in SI. Empty means: no such rule.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace thirstline {

enum class DayRule { any, weekdays, odd_dates, even_dates };

[[nodiscard]] constexpr bool goes_by_date(DayRule rule) {
    return rule == DayRule::odd_dates || rule == DayRule::even_dates;
}

inline constexpr int kWeekdays = 7;

/// Monday first.
inline constexpr std::array<std::string_view, kWeekdays> kWeekdayAbbreviations{
    "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

inline constexpr std::array<std::string_view, kWeekdays> kWeekdayNames{
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

struct AllowedDays {
    DayRule rule = DayRule::any;
    std::array<bool, kWeekdays> weekdays{};  ///< Monday first; for DayRule::weekdays, at least one
};

struct LocalRules {
    AllowedDays allowed_days;
    std::optional<double> window_hours;         ///< a watering day's, above 0, to 24
    std::optional<double> flow_l_per_min;       ///< what the site's connection gives at once
    std::optional<double> yearly_allowance_l;   ///< for all zones together
    std::optional<double> monthly_allowance_l;  ///< the same in every month
    std::optional<double> weekly_depth_cap_mm;  ///< gross, for each zone
    std::optional<int> days_per_week_cap;       ///< watering days of each zone, 1 to 7
    std::optional<int> runs_per_week_cap;       ///< starts of each zone's valve, 1 or more
};

}  // namespace thirstline
