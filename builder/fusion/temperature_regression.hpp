// What a warmer or drier-aired station says of humidity, wind and radiation: their residuals go
// with those of temperature, month by month. The slopes are found by least squares on differences
// from the mean of eight neighbours, so that only local covariation counts.
#pragma once

#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

struct TemperatureSlopes {
    Monthly<double> of_mean{};   ///< change of the driver for each °C of the mean's residual
    Monthly<double> of_range{};  ///< and of the daily range's
};

/// Residuals of one station, all known.
struct ResidualTriple {
    LatLon position;
    Monthly<double> driver{};
    Monthly<double> mean_temperature{};
    Monthly<double> temperature_range{};
};

/// Zero slopes where there are fewer than 40 stations, or a month's are too alike to tell.
[[nodiscard]] TemperatureSlopes temperature_slopes(const std::vector<ResidualTriple>& stations);

}  // namespace thirstline
