#include "builder/reference_et/daily_reference_et.hpp"

#include <cmath>

#include "builder/reference_et/weather_terms.hpp"
#include "builder/reference_et/wind.hpp"

namespace thirstline {

double day_vapour_pressure_kpa(const DayHumidity& humidity, double tmax_c, double tmin_c,
                               double air_pressure_kpa) {
    if (!std::isnan(humidity.vapour_pressure_kpa)) return humidity.vapour_pressure_kpa;
    const double of_specific =
        vapour_pressure_from_specific_humidity_kpa(humidity.specific_humidity, air_pressure_kpa);
    if (!std::isnan(of_specific)) return of_specific;
    if (!std::isnan(humidity.dew_point_c))
        return vapour_pressure_from_dew_point_kpa(humidity.dew_point_c);
    const RelativeHumidity relative = relative_humidity_of(humidity.relative, tmax_c, tmin_c);
    const double ea = vapour_pressure_from_rh_mean_kpa((tmax_c + tmin_c) / 2.0, relative.percent);
    return ea < 0.0 ? 0.0 : ea;
}

double daily_reference_et_mm_per_day(const DayWeather& weather, double elevation_m,
                                     double ra_mj_m2_day, ReferenceSurface surface) {
    const Weather day{weather.tmax_c,
                      weather.tmin_c,
                      weather.vapour_pressure_kpa,
                      wind_for_equation_m_per_s(weather.u2_m_per_s),
                      weather.rs_mj_m2_day,
                      ra_mj_m2_day};
    const double gamma = psychrometric_constant_kpa_per_c(pressure_kpa(elevation_m));
    return penman_monteith_mm_per_day(penman_monteith_terms(day, elevation_m, gamma), surface);
}

}  // namespace thirstline
