// Which bands of a file with the months of many years belong to a period.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <vector>

#include "builder/grids/band_times.hpp"
#include "builder/grids/year_range.hpp"

namespace thirstline {

struct MonthsOfYears {
    std::vector<int> bands;  ///< the first is 1; of every month of the period in the order of time
    bool at_ends = false;    ///< the times are the ends of the months
};

/// Bands of other years are left out. If all times are 0 h on the first of a month, from February
/// to January, and the period is complete only if they are the ends of the months, they are taken
/// as such.
/// Error: the fault in the file, such as "lacks March 1997". A month of the period that is not
/// there or there twice, times without years, and a file that would do both ways.
[[nodiscard]] tl::expected<MonthsOfYears, std::string> months_of_years(
    const std::vector<BandTime>& times, const YearRange& years);

/// "March 1997"
[[nodiscard]] std::string month_of_year_text(int month_number);

/// The fault in the times of a file that is said to hold one year, or one month of it; nothing if
/// they agree.
[[nodiscard]] std::optional<std::string> trouble_with_year(const std::vector<BandTime>& times,
                                                           int year);
[[nodiscard]] std::optional<std::string> trouble_with_month_of_year(const BandTime& time, int year,
                                                                    int month);

}  // namespace thirstline
