// The part of a site's normals that the demand uses. One litre per square metre is one millimetre.
#pragma once

#include <optional>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

enum class ReferenceCrop {
    short_grass,  ///< ETo: plant factors are defined for it
    tall_crop,    ///< ETr: rejected by demand_plan
};

struct MonthClimate {
    double eto_mm = 0.0;              ///< of the month, 0 or more
    double eto_mm_per_day = 0.0;      ///< eto_mm over the days of the month (February 28.25)
    std::optional<double> eto_se_mm;  ///< standard error of the normal, not of single years
    std::optional<double> rain_mm;    ///< all precipitation; if unknown, no rain is credited
    std::optional<double> rain_se_mm;
    std::optional<double> rain_days;  ///< if known, limits effective rain to what fits into the
                                      ///< soil on these days
    std::optional<double> tmean_c;    ///< if unknown, no month is dormant by temperature
    std::optional<double> tmin_c;     ///< mean daily minimum; if known, sets the season
};

struct SiteClimate {
    Monthly<MonthClimate> months;
    std::optional<double> elevation_m;
    std::optional<LatLon> at;  ///< if known, regional coefficients are rejected outside their
                               ///< region
    ReferenceCrop reference = ReferenceCrop::short_grass;
};

}  // namespace thirstline
