// A background for a driver without a grid: a plane in latitude, longitude and elevation through
// the stations, month by month.
#pragma once

#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

struct TrendStation {
    LatLon position;
    double elevation_m = 0.0;
    Monthly<double> values{};  ///< all known
};

class DriverTrend {
  public:
    /// By least squares: a plane from 20 stations, a line in elevation from 6, otherwise the mean.
    /// Without stations every value is NaN.
    explicit DriverTrend(const std::vector<TrendStation>& stations);

    [[nodiscard]] Monthly<double> at(LatLon position, double elevation_m) const;

  private:
    struct Coefficients {
        double constant = 0.0;
        double per_lat = 0.0;
        double per_lon = 0.0;
        double per_km = 0.0;
    };
    Monthly<Coefficients> months_{};
    double middle_lon_deg_ = 0.0;  ///< longitudes are relative to it
};

}  // namespace thirstline
