// The year's net need of the reference lawn for irrigation, by which years are ranked from wet to
// dry, and the coherent year of any rank.
//
// A station's months vary together. Percentiles of each month overstate a dry year when they are
// added up: no year has its driest January, its driest February and so on. So the file keeps for
// each month how much ETo and rain change, on average, when the *year's* need rises by one of its
// standard deviations: the slopes of the regressions of each month's ETo and rain on the year's
// need. The year of a given rank is the normals moved along these slopes. Its need is the need of
// that rank, because the slopes of the months' needs add up to the standard deviation of the
// year's.
//
// Ranks are non-exceedance: in the year of 80 % the need is that which four years of five do not
// exceed. Years' needs are taken as normally distributed.
//
// Depths are mm. Pure functions.
#pragma once

#include "schema/base/calendar.hpp"

namespace thirstline {

/// The reference lawn: plant factor 0.8 (cool-season turf, ANSI/ASABE S623), and the soil water
/// that roots of 6 in use in clay loam, half of what is available: 0.5 in. Common practice.
inline constexpr double kLawnCoefficient = 0.8;
inline constexpr double kLawnUsableStorageMm = 12.7;

/// max(0, 0.8 ETo − effective rain) of a month; effective rain by USDA-SCS. Frost is not
/// considered: a frozen month has hardly any ETo.
[[nodiscard]] double lawn_need_mm(double eto_mm, double rain_mm);
/// Sum over the months.
[[nodiscard]] double lawn_need_of_year_mm(const Monthly<double>& eto_mm,
                                          const Monthly<double>& rain_mm);

/// The standard normal deviate of a share of years, 0 < share < 1: 0.8416 of 0.8.
[[nodiscard]] double deviate_of_share(double share);
/// The share of years below a standard normal deviate: 0.8 of 0.8416.
[[nodiscard]] double share_of_deviate(double deviate);

/// How a place's months change with the year's need.
struct YearSlopes {
    /// Change of a month's ETo and rain as a share of the normal, when the year's need rises by one
    /// standard deviation. Of rain usually negative.
    Monthly<double> eto_share{};
    Monthly<double> rain_share{};
    /// Standard normal deviate of the need that is calculated from the normals, among the years'.
    /// Usually negative: effective rain is a concave function, so that the need of mean rain is
    /// less than the mean need.
    double deviate_of_normals = 0.0;
};

/// Factors of a month's normals in the year of a deviate: 1 + (deviate − deviate of the normals) ·
/// share, 0 or more.
struct MonthFactors {
    double eto = 1.0;
    double rain = 1.0;
};
[[nodiscard]] MonthFactors month_factors(const YearSlopes& slopes, std::size_t month,
                                         double deviate);

}  // namespace thirstline
