// Months of a climatology on the time axis of the CF conventions (section 7.4, climatological
// statistics).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// Both included.
struct YearRange {
    int first = 0;
    int last = 0;
    friend bool operator==(const YearRange&, const YearRange&) = default;
};

/// The earliest and the latest year that a text such as "1991-2020" names; nothing if it names
/// none. A year is four digits by themselves.
[[nodiscard]] std::optional<YearRange> years_of_period(std::string_view period);

struct ClimatologyTime {
    std::string units;         ///< "days since 1991-01-01"
    Monthly<double> middle{};  ///< of the month in the middle year
    Monthly<double> start{};   ///< of the month in the first year
    Monthly<double> end{};     ///< of the month in the last year
};

/// In days of the proleptic Gregorian calendar.
[[nodiscard]] ClimatologyTime climatology_time(YearRange years);

}  // namespace thirstline
