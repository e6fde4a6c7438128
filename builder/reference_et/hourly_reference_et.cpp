#include "builder/reference_et/hourly_reference_et.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/radiation.hpp"
#include "builder/reference_et/wind.hpp"

namespace thirstline {

double cloudiness_of_hour(double rs_mj_m2, const HourOfSun& sun, double elevation_m) {
    constexpr double kMinHeightRad = 0.3;
    if (!(sun.height_rad >= kMinHeightRad) || std::isnan(rs_mj_m2))
        return std::numeric_limits<double>::quiet_NaN();
    return 1.35 * relative_shortwave(rs_mj_m2, clear_sky_rs(elevation_m, sun.ra_mj_m2)) - 0.35;
}

double hourly_net_radiation_mj_m2(const WeatherOfHour& weather, double cloudiness) {
    constexpr double kHoursOfDay = 24.0;
    const double emission = black_body(weather.temperature_c) / kHoursOfDay;
    const double net_emissivity =
        0.34 - 0.14 * std::sqrt(std::max(weather.vapour_pressure_kpa, 0.0));
    return net_shortwave(weather.rs_mj_m2) - emission * net_emissivity * cloudiness;
}

double hourly_reference_et_mm(const WeatherOfHour& weather, double cloudiness, double elevation_m,
                              const HourlyConstants& constants) {
    const double rn = hourly_net_radiation_mj_m2(weather, cloudiness);
    const bool is_day = rn > 0.0;
    const double cd = is_day ? constants.cd_by_day : constants.cd_by_night;
    const double soil_heat =
        rn * (is_day ? constants.soil_heat_by_day : constants.soil_heat_by_night);
    const double u2 = wind_for_equation_m_per_s(weather.u2_m_per_s);
    const double delta = saturation_slope_kpa_per_c(weather.temperature_c);
    const double gamma = psychrometric_constant_kpa_per_c(pressure_kpa(elevation_m));
    const double deficit = vapour_pressure_deficit_kpa(
        saturation_vapour_pressure_kpa(weather.temperature_c), weather.vapour_pressure_kpa);
    const double drying = gamma * constants.cn / (weather.temperature_c + 273.0) * u2 * deficit;
    return (0.408 * delta * (rn - soil_heat) + drying) / (delta + gamma * (1.0 + cd * u2));
}

}  // namespace thirstline
