// How temperature and vapour pressure change with elevation, if nothing better is fitted to
// stations. Both must be adjusted together: adjusting one without the other gives errors in
// reference ET of several percent per kilometre, and exceeds saturation uphill.
#pragma once

#include <cmath>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// Positive for quantities that decrease with elevation.
struct LapseRates {
    Monthly<double> tmax_c_per_km{};
    Monthly<double> tmin_c_per_km{};
    Monthly<double> vapour_pressure_per_km{};  ///< λ in exp(−λΔz)
};

/// Tmax 6.5 and Tmin 4.5 °C/km (from memory), and λ as below.
[[nodiscard]] LapseRates default_lapse_rates(double lat_deg);

/// λ, 0.33 to 0.42 per km: smallest in summer, when moist air is mixed to great height. The monthly
/// values are Kunkel's (1989, J. Climate 2, 656; from memory, as Liston & Elder 2006 quote them),
/// found in the northern middle latitudes. South of the southern tropic they are shifted by half a
/// year; between the tropics, which have no such winter and summer, the two series are mixed in
/// proportion to latitude, so that λ is continuous at the equator.
[[nodiscard]] double vapour_pressure_lapse_per_km(double lat_deg, int month);

[[nodiscard]] inline double temperature_adjusted_c(double temperature_c, double rise_m,
                                                   double lapse_c_per_km) {
    return temperature_c - lapse_c_per_km * rise_m / 1000.0;
}

[[nodiscard]] inline double vapour_pressure_adjusted_kpa(double vapour_pressure_kpa, double rise_m,
                                                         double lapse_per_km) {
    return vapour_pressure_kpa * std::exp(-lapse_per_km * rise_m / 1000.0);
}

}  // namespace thirstline
