// Dates of the last and first freeze and of the growing season, estimated from monthly normals.
//
// Normals have no single nights, so this is an estimate. The mean daily minimum follows
// mean_preserving_curve.hpp. Single nights scatter about it normally, with a standard deviation of
// 3.4 °C on the warmest day of the year that grows by 1.1 °C to the coldest. Nights of a cold
// spell count as 0.68 independent nights each. A date's probability is that of no freeze between
// it and the warmest day of the year.
//
// The three numbers are fitted to probabilities that NCEI (1991–2020, Lebanon, New Hampshire, 0 to
// −7 °C; months of Richmond, Virginia, 1981–2010) and ECCC (1981–2010, Faro and Brandon) publish.
// Fitted without the station in turn, its median dates and those of one year in ten differ by 4.6
// days (root mean square; tests/benchmarks/RESULTS.md). All four have a range of the year's daily
// minima of 22 °C or more. With a smaller range than 20 °C, in oceanic and tropical climates, the
// scatter falls in proportion, to 1.7 °C on all days where there is no range. This is Thirstline's
// assumption, set by the extremes of one station in Mexico.
//
// The stated error is that, and what 1 °C moves the date: the error of a file's normals at a place,
// also an assumption. Frost hollows, slopes and cities differ from their surroundings by more than
// the stated error.
#pragma once

#include <array>
#include <optional>

#include "lookup/site/mean_preserving_curve.hpp"
#include "lookup/site/site_profile.hpp"

namespace thirstline {

/// A freeze is a daily minimum, 1.5 to 2 m above ground, at or below one of these.
inline constexpr std::array<double, 2> kFreezesC{0.0, -2.0};
/// Common practice, and where the plan takes cool-season turf for dormant.
inline constexpr double kGrowthAboveC = 5.0;

/// Spring is the half of the year before the warmest day, in either hemisphere. A date is empty
/// if the season has no such freeze in so many years, or midsummer has one.
struct FreezeDates {
    double at_or_below_c = 0.0;
    double percent_of_years = 0.0;  ///< with such a freeze on any day of the year
    bool in_midsummer = false;      ///< in most years also within 15 days of the warmest day
    std::optional<MonthDay> last_median;
    std::optional<MonthDay> last_late;  ///< one year in ten has a later one
    std::optional<MonthDay> first_median;
    std::optional<MonthDay> first_early;  ///< one year in ten has an earlier one
    std::optional<double> error_days;     ///< one standard error; empty without dates
};

/// Days whose mean temperature by the normals is kGrowthAboveC or more, around the warmest day.
struct GrowingSeason {
    int days = 0;                   ///< 0 to 365
    std::optional<MonthDay> start;  ///< empty if it lasts all year, or not a day
    std::optional<MonthDay> end;    ///< the last day
    std::optional<double> error_days;
};

struct SeasonEstimate {
    std::array<FreezeDates, kFreezesC.size()> freezes;
    GrowingSeason growing;
};

/// Nothing unless Tmax and Tmin are known in all months.
[[nodiscard]] std::optional<SeasonEstimate> season_estimate(const SiteProfile& profile);

/// From the normals of daily minima, °C.
[[nodiscard]] FreezeDates freeze_dates(const Monthly<double>& tmin_c, double at_or_below_c);

/// From the normals of daily means, °C.
[[nodiscard]] GrowingSeason growing_season(const Monthly<double>& tmean_c);

}  // namespace thirstline
