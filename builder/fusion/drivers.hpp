// The six drivers that fusion estimates separately, in a form that makes every estimate physically
// possible: temperature as mean and range (so that Tmax > Tmin), humidity as a share of saturation
// (so that it does not exceed saturation), wind as its logarithm, radiation as clearness, rain as a
// root (which is kriged as a logarithm: rain_scale.hpp).
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

enum class Driver {
    mean_temperature,   ///< (Tmax + Tmin) / 2, °C
    temperature_range,  ///< Tmax − Tmin, °C; above 0
    humidity,           ///< vapour pressure over saturation at the mean temperature, 0 to 1
    log_wind,           ///< natural logarithm of u2 in m/s
    clearness,          ///< Rs / Ra, 0 to 1
    rain_root,          ///< square root of rain in mm/day
};
inline constexpr std::size_t kDrivers = 6;
[[nodiscard]] std::string_view driver_name(Driver driver);

/// By Driver and month; NaN where unknown.
using DriverYear = std::array<Monthly<double>, kDrivers>;

[[nodiscard]] inline Monthly<double>& of(DriverYear& year, Driver driver) {
    return year[static_cast<std::size_t>(driver)];
}
[[nodiscard]] inline const Monthly<double>& of(const DriverYear& year, Driver driver) {
    return year[static_cast<std::size_t>(driver)];
}

/// From the best variables in the climate: vapour pressure, dew point or relative humidity;
/// radiation, sunshine or cloud. Clearness is unknown if Ra is under 1 MJ/m2/day.
[[nodiscard]] DriverYear drivers_of(const PointClimate& climate, const MonthlySun& sun);

/// A driver's value limited to its possible range: range at least 0.5 °C, humidity 0.02 to 1,
/// clearness 0.05 to 0.85, root of rain at least 0.
[[nodiscard]] double clamped_to_possible(Driver driver, double value);

/// Writes the known drivers into the climate and replaces the variables that it had for them.
void set_drivers(PointClimate& climate, const DriverYear& drivers, const MonthlySun& sun);

}  // namespace thirstline
