// From a station's years to the slopes of its months on the year's need (schema/lawn). Pure.
//
// Records have gaps, and few years of strict completeness are complete. So no year has to be: the
// covariance of a month's ETo or rain with the year's need is the sum of its covariances with the
// need of each of the twelve months, each from the years in which both are known; the variance of
// the year's need is the sum of all covariances of the months' needs. On complete years these are
// the ordinary covariances of the years' sums. A year is twelve months from January, or south of
// the equator from July, so that a growing season is whole.
//
// The slopes are then scaled, and the deviate of the normals is chosen, so that the need calculated
// from the moved normals is, in the years of 80 % and 20 %, the mean of the years' need plus and
// minus 0.84 of their standard deviation (0.87 with thirty years, 0.95 with ten: a year that is not
// among them is compared with an estimated mean and deviation). The need is not linear in rain, and
// without this a dry year would be too mild. The station's own mean ETo and rain stand for the
// normals.
//
// Why slopes, and not percentiles of each month: twelve monthly percentiles add up to a year that
// never comes (on a synthetic network, needs of 449 mm in the mean, 498 mm in the true 80 % year,
// and 558 mm as the sum of the monthly ones). Why the normal distribution, and not ranked years: it
// needs no complete year, and the error of a quantile of thirty ranked years is a quarter larger.
// Need is a little skewed: in five synthetic climates 21 % of other years exceed the 80 % year
// (year_slopes_test.cpp), where ranks (m/(N + 1)) would give 20 %.
#pragma once

#include <optional>
#include <span>

#include "schema/lawn/year_of_need.hpp"

namespace thirstline {

struct YearsOfNeed {
    YearSlopes slopes;
    double mean_need_mm = 0.0;
    double standard_deviation_mm = 0.0;  ///< between years, more than 0
    double need_of_normals_mm = 0.0;     ///< calculated from the means of ETo and rain
    int years = 0;                       ///< of the calendar month with the fewest
};

/// ETo and rain by month, mm, of the same consecutive years from a January; NaN is unknown. A month
/// counts if both are known. Nothing with fewer than `min_years` (at least 2) of any calendar
/// month, with two calendar months that share fewer than half as many years, or without any need.
[[nodiscard]] std::optional<YearsOfNeed> years_of_need(std::span<const double> eto_mm,
                                                       std::span<const double> rain_mm,
                                                       bool is_south, int min_years);

}  // namespace thirstline
