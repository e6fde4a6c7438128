// Reference ET of a station from its own temperatures, with humidity, wind and radiation from
// elsewhere: the case of a site that only measures temperature.
#pragma once

#include "builder/fusion/fusion.hpp"

namespace thirstline {

/// Humidity, wind and clearness at the station estimated from the grids and the other stations,
/// given its measured temperatures. NaN if unknown.
[[nodiscard]] DriverYear other_drivers(const Fusion& fusion, const StationPlace& place,
                                       const LeftOut& left_out);

/// Penman–Monteith in mm/day from the station's temperatures and those three variables of `others`;
/// NaN if any is unknown.
[[nodiscard]] Monthly<double> eto_with_own_temperature_mm_per_day(const StationPlace& place,
                                                                  const DriverYear& others,
                                                                  const EtOptions& options);

}  // namespace thirstline
