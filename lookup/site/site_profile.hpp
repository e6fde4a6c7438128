// The year of a site in numbers: the file's integers in millimetres and degrees, and derived values
// (percent of peak, peak month, yearly sums).
#pragma once

#include <cstdint>
#include <optional>

#include "schema/answer/answer.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/lawn/year_of_need.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Values that the file does not have for this place are empty.
struct MonthProfile {
    std::optional<double> eto_mm_per_day;
    std::optional<double> eto_mm;     ///< rate times the days of the month
    std::optional<double> eto_se_mm;  ///< standard errors, of the normal and not of single years
    std::optional<double> rain_mm;
    std::optional<double> rain_se_mm;
    std::optional<double> tmax_c;
    std::optional<double> tmin_c;
    std::optional<double> percent_of_peak;  ///< of the peak month's ETo per day; empty if ETo is
                                            ///< unknown in all months
    Method method;
    bool eto_is_own = false;  ///< from the user's own record, not from the file
    bool rain_is_own = false;
};

/// The location of the answer.
struct AnsweringPoint {
    LatLonE7 at;  ///< the site itself if interpolated, else the nearest point with data
    bool interpolated = false;
    double distance_km = 0.0;           ///< from the site; 0 if interpolated
    std::optional<double> elevation_m;  ///< of the data, before any shift
    double shifted_by_m = 0.0;          ///< site elevation minus data elevation; 0 if not given
    Method method;                      ///< the least trusted of all corners and months
    std::uint8_t period_id = 0;
    int lattice_id = 0;
};

/// How the months change in wet and dry years: the file's layers, at the site.
struct SlopesOfSite {
    YearSlopes slopes;
    double error_share = 0.0;  ///< standard error of the year's change, as a share of it
};

/// Which year the months are, in a file with wet and dry years: wet_and_dry_years.hpp. Needs are
/// net needs of a reference lawn over the year.
struct DescribedYear {
    std::optional<double> percent;  ///< of years that need no more; empty: the normals
    double lawn_need_mm = 0.0;      ///< by the months as they are
    double lawn_need_of_normals_mm = 0.0;
    double lawn_need_of_dry_year_mm = 0.0;  ///< that 2 years of 10 exceed
    double percent_above_normals = 0.0;     ///< of years that need more than by the normals
};

struct SiteProfile {
    AnsweringPoint point;
    Monthly<MonthProfile> months;
    std::optional<double> annual_eto_mm;  ///< sum of unrounded months; empty unless all are known
    std::optional<double> annual_rain_mm;
    std::optional<int> peak_month;  ///< 1 to 12, by ETo per day, the first on a tie
    bool has_temperature = false;   ///< whether the file has Tmax and Tmin
    std::optional<SlopesOfSite> slopes;
    std::optional<DescribedYear> year;  ///< set by describe_year
};

/// `answer` must have been found; `layout` is that of its file.
[[nodiscard]] SiteProfile site_profile(const Answer& answer, const TileLayout& layout);

/// The least trusted method of all corners and months.
[[nodiscard]] Method least_method(const Answer& answer);

/// Yearly sums, peak month and percentages, recomputed from the current months.
void derive_year(SiteProfile& profile);

}  // namespace thirstline
