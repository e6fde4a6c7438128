// Reference evapotranspiration of a single day, from the day's weather: FAO Irrigation and Drainage
// Paper 56 (1998) eq. 6, and ASCE-EWRI (2005) eq. 1, which for the short reference is the same.
// Soil heat flux is 0 over a day (FAO-56 eq. 42). Pure functions; NaN is unknown.
#pragma once

#include <limits>

#include "builder/reference_et/humidity_forms.hpp"
#include "builder/reference_et/penman_monteith.hpp"

namespace thirstline {

/// The humidity of a day in any of the forms in which it is measured.
struct DayHumidity {
    double vapour_pressure_kpa = std::numeric_limits<double>::quiet_NaN();
    double specific_humidity = std::numeric_limits<double>::quiet_NaN();  ///< kg/kg
    double dew_point_c = std::numeric_limits<double>::quiet_NaN();
    RelativeForms relative{
        std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN(),
        std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN(),
        std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()};
};

/// ea of the day, by the first form that is known, in the order of trust of FAO-56, chapter 3, as
/// for months (humidity_forms.hpp). Only forms relative to the temperature need the extremes.
[[nodiscard]] double day_vapour_pressure_kpa(const DayHumidity& humidity, double tmax_c,
                                             double tmin_c, double air_pressure_kpa);

struct DayWeather {
    double tmax_c = 0.0;
    double tmin_c = 0.0;
    double vapour_pressure_kpa = 0.0;
    double u2_m_per_s = 0.0;  ///< at least 0.5 m/s is used
    double rs_mj_m2_day = 0.0;
};

/// `ra_mj_m2_day` of the day and latitude (solar_geometry.hpp). mm/day, 0 or more; NaN if anything
/// is.
[[nodiscard]] double daily_reference_et_mm_per_day(const DayWeather& weather, double elevation_m,
                                                   double ra_mj_m2_day, ReferenceSurface surface);

}  // namespace thirstline
