// Regression of the residuals of humidity, wind and radiation on those of temperature, month by
// month. The slopes are found by least squares on differences from the mean of eight neighbours, so
// that only local covariation is used.
#pragma once

#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

struct TemperatureSlopes {
    Monthly<double> of_mean{};   ///< change of the driver per °C of the mean's residual
    Monthly<double> of_range{};  ///< and of the daily range's residual
};

/// Residuals of one station, all known.
struct ResidualTriple {
    LatLon position;
    Monthly<double> driver{};
    Monthly<double> mean_temperature{};
    Monthly<double> temperature_range{};
};

/// Zero slopes if there are fewer than 40 stations, or if a month's residuals vary too little.
[[nodiscard]] TemperatureSlopes temperature_slopes(const std::vector<ResidualTriple>& stations);

}  // namespace thirstline
