// Reference evapotranspiration of a single hour, from the hour's weather: ASCE-EWRI Standardized
// Reference Evapotranspiration Equation (2005) with the constants of its table 1 for hours; FAO
// Irrigation and Drainage Paper 56 (1998) eq. 53 is the same with one surface resistance for day
// and night. Pure functions; NaN is unknown.
#pragma once

#include "builder/reference_et/hourly_sun.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "builder/reference_et/radiation.hpp"

namespace thirstline {

/// By day, when net radiation is above 0, and by night.
struct HourlyConstants {
    double cn = 37.0;         ///< K mm s³ Mg⁻¹ h⁻¹
    double cd_by_day = 0.24;  ///< s/m
    double cd_by_night = 0.96;
    double soil_heat_by_day = 0.1;  ///< G/Rn
    double soil_heat_by_night = 0.5;
};

/// ASCE-EWRI 2005, table 1 and eq. 65, from memory.
[[nodiscard]] constexpr HourlyConstants hourly_constants(ReferenceSurface surface) {
    return surface == ReferenceSurface::tall_reference ? HourlyConstants{66.0, 0.25, 1.7, 0.04, 0.2}
                                                       : HourlyConstants{};
}

/// FAO-56 eq. 53, 45 and 46.
inline constexpr HourlyConstants kFao56HourlyConstants{37.0, 0.34, 0.34, 0.1, 0.5};

/// What is taken where there is no light at all.
inline constexpr double kCloudinessInDarkness = 1.35 * kRelativeRadiationInDarkness - 0.35;

struct WeatherOfHour {
    double temperature_c = 0.0;
    double vapour_pressure_kpa = 0.0;
    double u2_m_per_s = 0.0;  ///< at least 0.5 m/s is used
    double rs_mj_m2 = 0.0;    ///< in the hour
};

/// The factor 1.35 Rs/Rso − 0.35 of net long-wave radiation, from the sun's light in an hour in
/// which it stands at least 0.3 rad high; NaN in others, which take that of an hour before
/// (ASCE-EWRI 2005, eq. 45 and 46).
[[nodiscard]] double cloudiness_of_hour(double rs_mj_m2, const HourOfSun& sun, double elevation_m);

/// mm in the hour. Unlike that of days it may be negative: dew; the sum of the day is not.
/// `cloudiness` as above.
[[nodiscard]] double hourly_reference_et_mm(const WeatherOfHour& weather, double cloudiness,
                                            double elevation_m, const HourlyConstants& constants);

/// Net radiation of the hour, MJ/m².
[[nodiscard]] double hourly_net_radiation_mj_m2(const WeatherOfHour& weather, double cloudiness);

}  // namespace thirstline
