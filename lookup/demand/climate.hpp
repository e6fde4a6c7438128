// What the demand needs to know of a site's normals. One litre on a square metre is one millimetre.
#pragma once

#include <optional>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

enum class ReferenceCrop {
    short_grass,  ///< ETo: what plant factors belong to
    tall_crop,    ///< ETr: refused by demand_plan
};

struct MonthClimate {
    double eto_mm = 0.0;              ///< of the month, 0 or more
    double eto_mm_per_day = 0.0;      ///< eto_mm over the days of the month (February 28.25)
    std::optional<double> eto_se_mm;  ///< standard error of the normal, not of single years
    std::optional<double> rain_mm;    ///< all precipitation; where unknown, none is credited
    std::optional<double> rain_se_mm;
    std::optional<double> rain_days;  ///< where known, effective rain is held to what they can fill
    std::optional<double> tmean_c;    ///< where unknown, no month is dormant by itself
    std::optional<double> tmin_c;     ///< mean daily minimum; where known, it sets the season
};

struct SiteClimate {
    Monthly<MonthClimate> months;
    std::optional<double> elevation_m;
    std::optional<LatLon> at;  ///< where known, coefficients of a region are held to it
    ReferenceCrop reference = ReferenceCrop::short_grass;
};

}  // namespace thirstline
