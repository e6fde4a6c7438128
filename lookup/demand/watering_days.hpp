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

/// Limits of a month's rules on days.
struct DayLimits {
    AllowedDays allowed;
    std::optional<int> days_per_week_cap;

    friend bool operator==(const DayLimits&, const DayLimits&) = default;
};

/// The patterns that the rule and the cap on days a week allow: for each number of days a week, the
/// most even patterns. Fewest days first; month_index 0 to 11. Empty only if the cap is below 1 or
/// no weekday is allowed.
[[nodiscard]] std::vector<DayPattern> day_patterns(const AllowedDays& allowed,
                                                   const std::optional<int>& days_per_week_cap,
                                                   int month_index);

/// The same days in another month: the same weekdays, or the same dates.
[[nodiscard]] DayPattern same_days_in_month(const DayPattern& pattern, int month_index);

/// The same days in another month if its limits allow them; otherwise, of the days that they allow,
/// the most that are not more a week, or the fewest. Not below one a week unless `base` is.
[[nodiscard]] DayPattern days_within_limits(const DayPattern& base, const DayLimits& limits,
                                            int month_index);

/// Whether the limits allow these days in that month.
[[nodiscard]] bool allows_days(const DayLimits& limits, const DayPattern& days);

/// "every day", "Mon, Wed, Fri", "every other Monday", "every other Monday from week 2", "every odd
/// date", "1, 5, 9, …" in full.
[[nodiscard]] Phrase day_pattern_name(const DayPattern& pattern);

}  // namespace thirstline
