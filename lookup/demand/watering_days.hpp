// The days on which a zone can be watered in a month, evenly spaced, under a local rule.
//
// By weekday, a pattern repeats every four weeks, so that "every second Monday" is possible too. By
// date, it is defined within the month: every allowed date, every second, and so on up to every
// eighth.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "lookup/demand/local_rules.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

inline constexpr int kSlotsOfFourWeeks = 28;

struct DayPattern {
    /// Bit i: day i of four weeks that begin on a Monday, or date i + 1 of the month.
    std::uint32_t slots = 0;
    double days_in_month = 0.0;     ///< on average; 29 February counts as a quarter
    double nominal_per_week = 0.0;  ///< the same in every month: 3 for three weekdays, 3.5 for
                                    ///< every odd date, 1.75 for every second odd date
    int longest_gap_days = 0;       ///< from one watering to the next, also over the month's end
    int squared_gaps = 0;           ///< sum of the squared gaps: for the same number of gaps, less
                                    ///< is more even
    int most_in_seven_days = 0;
    DayRule rule = DayRule::any;  ///< by which the slots are counted
};

/// Limits of a month's rules on days, and of the controller.
struct DayLimits {
    AllowedDays allowed;
    std::optional<int> days_per_week_cap;
    bool has_intervals = true;  ///< of the controller: a program may run every so many days

    friend bool operator==(const DayLimits&, const DayLimits&) = default;
};

/// The patterns that the limits allow: for each number of days a week, the most even patterns.
/// Fewest days first; month_index 0 to 11. Without intervals: whole weekdays of every week, or
/// every odd or even date; some of these dates only if the cap on days a week leaves nothing else.
/// Empty only if the cap is below 1 or no weekday is allowed.
[[nodiscard]] std::vector<DayPattern> day_patterns(const DayLimits& limits, int month_index);

/// Whether a rule or a cap on days is among the limits.
[[nodiscard]] bool limits_days(const DayLimits& limits);

/// The same days in another month: the same weekdays, or the same dates.
[[nodiscard]] DayPattern same_days_in_month(const DayPattern& pattern, int month_index);

/// The same days in another month if its limits allow them; otherwise, of the days that they allow,
/// the most that are not more a week, or the fewest. Not below one a week unless `base` is.
[[nodiscard]] DayPattern days_within_limits(const DayPattern& base, const DayLimits& limits,
                                            int month_index);

/// Whether the limits allow these days in that month.
[[nodiscard]] bool allows_days(const DayLimits& limits, const DayPattern& days);

/// How days are set on a controller.
enum class DaySetting {
    program,        ///< weekdays, odd dates or even dates
    week_interval,  ///< an interval of 14 or 28 days
    date_interval,  ///< an interval that starts again in each month
    dates,          ///< no program gives these days: single dates
};

/// Not week_interval or date_interval unless the controller has intervals.
[[nodiscard]] DaySetting day_setting(const DayPattern& pattern, bool has_intervals);

/// "every day", "Mon, Wed, Fri", "every other Monday", "every other Monday from week 2", "every odd
/// date", "every 6 days from the 2nd", "on the 2nd, 8th and 14th".
[[nodiscard]] Phrase day_pattern_name(const DayPattern& pattern, bool has_intervals);

}  // namespace thirstline
