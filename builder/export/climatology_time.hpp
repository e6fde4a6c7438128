// Months of a climatology on the time axis of the CF conventions (section 7.4, climatological
// statistics).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "builder/grids/year_range.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// The earliest and the latest year in a text such as "1991-2020"; nothing if there is none. A year
/// is a group of exactly four digits.
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
