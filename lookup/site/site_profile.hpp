// The year of a site in numbers: what the file's integers mean in millimetres and degrees, and what
// follows from them (share of the peak, peak month, yearly sums).
#pragma once

#include <cstdint>
#include <optional>

#include "schema/answer/answer.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// A value that the file does not know at this place is empty.
struct MonthProfile {
    std::optional<double> eto_mm_per_day;
    std::optional<double> eto_mm;     ///< rate times the days of the month
    std::optional<double> eto_se_mm;  ///< standard errors, of the normal and not of single years
    std::optional<double> rain_mm;
    std::optional<double> rain_se_mm;
    std::optional<double> tmax_c;
    std::optional<double> tmin_c;
    std::optional<double> percent_of_peak;  ///< of ETo per day; empty if no month has any
    Method method;
    bool eto_is_own = false;  ///< from the user's own record, not from the file
    bool rain_is_own = false;
};

/// The place that answered.
struct AnsweringPoint {
    LatLonE7 at;  ///< the site itself if interpolated, else the nearest point with data
    bool interpolated = false;
    double distance_km = 0.0;           ///< from the site; 0 if interpolated
    std::optional<double> elevation_m;  ///< of the data, before any shift
    double shifted_by_m = 0.0;          ///< the site's elevation less the data's; 0 if not given
    Method method;                      ///< the least of any corner and month
    std::uint8_t period_id = 0;
};

struct SiteProfile {
    AnsweringPoint point;
    Monthly<MonthProfile> months;
    std::optional<double> annual_eto_mm;  ///< from unrounded months; empty unless all are known
    std::optional<double> annual_rain_mm;
    std::optional<int> peak_month;  ///< 1 to 12, of ETo per day, the first of equals
    bool has_temperature = false;   ///< does the file hold Tmax and Tmin at all?
};

/// `answer` must have been found; `layout` is that of the file which gave it.
[[nodiscard]] SiteProfile site_profile(const Answer& answer, const TileLayout& layout);

/// The least of any corner and month.
[[nodiscard]] Method least_method(const Answer& answer);

/// Yearly sums, peak month and shares, again from the months as they now stand.
void derive_year(SiteProfile& profile);

}  // namespace thirstline
