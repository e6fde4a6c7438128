// The climate variables that a source may have, the units in which it may give them, and the one
// unit in which the builder computes with each.
//
// For an amount, a unit without "per" is the monthly total: `mm`, `m` and `in` of rain or ETo, `h`
// of sunshine. Months have the days of kDaysInMonth (February 28.25).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

enum class Variable {
    tmax,                         ///< mean daily maximum air temperature, °C
    tmin,                         ///< mean daily minimum air temperature, °C
    tmean,                        ///< mean air temperature, °C
    temperature_range,            ///< tmax − tmin, °C
    vapour_pressure,              ///< actual vapour pressure, kPa
    specific_humidity,            ///< mass of vapour per mass of moist air, kg/kg
    dew_point,                    ///< °C
    relative_humidity,            ///< mean over the day, %
    relative_humidity_max,        ///< mean daily maximum, or at about sunrise, %
    relative_humidity_min,        ///< mean daily minimum, or in the early afternoon, %
    vapour_pressure_deficit,      ///< es − ea of FAO-56 (es: its eq. 12), mean over the day, kPa
    vapour_pressure_deficit_max,  ///< mean daily maximum: at the maximum temperature, kPa
    vapour_pressure_deficit_min,  ///< mean daily minimum: at the minimum temperature, kPa
    wind,                         ///< mean wind speed, m/s at the height that the source states
    wind_u,                       ///< mean eastward component, likewise
    wind_v,                       ///< mean northward component, likewise
    radiation,                    ///< global solar radiation, MJ/m2/day
    sunshine_hours,               ///< bright sunshine, hours/day
    sunshine_fraction,            ///< fraction of the daylight, 0 to 1
    cloud,                        ///< fraction of the sky, 0 to 1
    rain,                         ///< all precipitation, mm in the month
    rain_days,                    ///< days in the month
    eto,                          ///< reference evapotranspiration, mm/day
    elevation,                    ///< m above sea level
};
inline constexpr int kVariables = 24;

/// In the order of the enumeration.
[[nodiscard]] const std::vector<Variable>& all_variables();
/// The name that recipes use, such as "vapour_pressure".
[[nodiscard]] std::string_view variable_name(Variable variable);
[[nodiscard]] std::optional<Variable> variable_by_name(std::string_view name);
/// The other variable without which this one is not used: the minimum of relative_humidity_max,
/// the v component of wind_u, and so on.
[[nodiscard]] std::optional<Variable> counterpart_of(Variable variable);
/// Whether it is a wind, which has a height above ground: the speed or a component.
[[nodiscard]] bool is_wind(Variable variable);
/// The unit of computation as a recipe would spell it, such as "MJ/m2/day".
[[nodiscard]] std::string_view canonical_unit(Variable variable);
/// All units that a recipe may give for the variable.
[[nodiscard]] const std::vector<std::string_view>& units_of(Variable variable);

/// canonical = value · factor + offset, month by month. (Elevation has one value: January's.)
struct UnitConversion {
    Monthly<double> factor{};
    double offset = 0.0;
    [[nodiscard]] double canonical(double value, int month) const {
        return value * factor[static_cast<std::size_t>(month)] + offset;
    }
};

/// Errors (bad_input): a unit that is not valid for the variable; the message names the nearest
/// valid one, and has no file or line, which the caller adds at its front.
[[nodiscard]] Result<UnitConversion> unit_conversion(Variable variable, std::string_view unit);

}  // namespace thirstline
