// The change over the years of a record, for reports. Pure functions.
#pragma once

#include <optional>
#include <span>

namespace thirstline {

inline constexpr int kRecentYears = 15;

/// In the unit of the values; of a year, as the sum of its twelve months or of its days.
struct YearlyTrend {
    double per_decade = 0.0;      ///< by least squares over the years
    double standard_error = 0.0;  ///< of that, from the scatter of single years
    double recent = 0.0;          ///< mean of the last 15 years of the period minus that of all
    int years = 0;                ///< with enough months
};

/// `values` are those of the months of consecutive years, from a January, as totals of each month;
/// NaN is unknown. A year counts if at most two of its months are unknown: they are taken as
/// normal. Nothing with fewer than 20 such years, or fewer than 10 among the last 15.
[[nodiscard]] std::optional<YearlyTrend> yearly_trend(std::span<const double> values);

}  // namespace thirstline
