// Reference ET of a station from its own temperatures, with humidity, wind and radiation from
// elsewhere: what a site gains that knows no more than temperature.
#pragma once

#include "builder/fusion/fusion.hpp"

namespace thirstline {

/// Humidity, wind and clearness at the station as the grids and the other stations tell them, given
/// the temperatures that it measures. NaN where unknown.
[[nodiscard]] DriverYear drivers_beside_temperature(const Fusion& fusion, const StationPlace& place,
                                                    const LeftOut& left_out);

/// Penman–Monteith in mm/day from the station's temperatures and those three of `others`; NaN where
/// any is unknown.
[[nodiscard]] Monthly<double> eto_with_own_temperature_mm_per_day(const StationPlace& place,
                                                                  const DriverYear& others,
                                                                  const EtOptions& options);

}  // namespace thirstline
