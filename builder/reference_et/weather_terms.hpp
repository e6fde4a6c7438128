// The terms of Penman–Monteith from the weather of a day or a month. FAO Irrigation and Drainage
// Paper 56 (1998), chapter 3.
#pragma once

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "builder/reference_et/radiation.hpp"

namespace thirstline {

struct Weather {
    double tmax_c = 0.0;
    double tmin_c = 0.0;
    double vapour_pressure_kpa = 0.0;
    double u2_m_per_s = 0.0;
    double rs_mj_m2_day = 0.0;
    double ra_mj_m2_day = 0.0;
    double soil_heat_flux_mj_m2_day = 0.0;
};

/// NaN in gives NaN out. Rso is that of a clear sky at the elevation (FAO-56 eq. 37).
[[nodiscard]] inline PenmanMonteithTerms penman_monteith_terms(const Weather& weather,
                                                               double elevation_m,
                                                               double psychrometric_kpa_per_c) {
    const double rnl =
        net_longwave(weather.tmax_c, weather.tmin_c, weather.vapour_pressure_kpa,
                     weather.rs_mj_m2_day, clear_sky_rs(elevation_m, weather.ra_mj_m2_day));
    PenmanMonteithTerms terms;
    terms.tmean_c = (weather.tmax_c + weather.tmin_c) / 2.0;
    terms.net_radiation_mj_m2_day = net_radiation(net_shortwave(weather.rs_mj_m2_day), rnl);
    terms.soil_heat_flux_mj_m2_day = weather.soil_heat_flux_mj_m2_day;
    terms.u2_m_per_s = weather.u2_m_per_s;
    terms.vapour_pressure_deficit_kpa = vapour_pressure_deficit_kpa(
        mean_saturation_vapour_pressure_kpa(weather.tmax_c, weather.tmin_c),
        weather.vapour_pressure_kpa);
    terms.slope_kpa_per_c = saturation_slope_kpa_per_c(terms.tmean_c);
    terms.psychrometric_kpa_per_c = psychrometric_kpa_per_c;
    return terms;
}

}  // namespace thirstline
