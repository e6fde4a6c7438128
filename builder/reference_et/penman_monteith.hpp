// The Penman–Monteith equation for a reference surface.
//
// Short (ETo, clipped grass of 0.12 m): FAO Irrigation and Drainage Paper 56 (1998) eq. 6. Tall
// (ETr, alfalfa of 0.5 m): ASCE-EWRI Standardized Reference Evapotranspiration Equation (2005) eq.
// 1, which is the same equation for the short reference. Both in the form for days and months; the
// latent heat of vaporisation is fixed at 2.45 MJ/kg (0.408 = 1/2.45).
#pragma once

#include <cstdint>

namespace thirstline {

enum class ReferenceSurface : std::uint8_t { short_reference = 0, tall_reference = 1 };

struct SurfaceConstants {
    double cn = 900.0;  ///< numerator, K mm s³ Mg⁻¹ d⁻¹
    double cd = 0.34;   ///< denominator, s/m
};

/// ASCE-EWRI 2005, table 1, daily time step.
[[nodiscard]] constexpr SurfaceConstants surface_constants(ReferenceSurface surface) {
    return surface == ReferenceSurface::tall_reference ? SurfaceConstants{1600.0, 0.38}
                                                       : SurfaceConstants{900.0, 0.34};
}

struct PenmanMonteithTerms {
    double tmean_c = 0.0;
    double net_radiation_mj_m2_day = 0.0;
    double soil_heat_flux_mj_m2_day = 0.0;
    double u2_m_per_s = 0.0;
    double vapour_pressure_deficit_kpa = 0.0;
    double slope_kpa_per_c = 0.0;          ///< Δ at the mean temperature
    double psychrometric_kpa_per_c = 0.0;  ///< γ
};

/// mm/day, never negative: dew and frost are not water use. NaN stays NaN.
[[nodiscard]] inline double penman_monteith_mm_per_day(const PenmanMonteithTerms& terms,
                                                       ReferenceSurface surface) {
    const SurfaceConstants c = surface_constants(surface);
    const double delta = terms.slope_kpa_per_c;
    const double gamma = terms.psychrometric_kpa_per_c;
    const double energy =
        0.408 * delta * (terms.net_radiation_mj_m2_day - terms.soil_heat_flux_mj_m2_day);
    const double drying = gamma * c.cn / (terms.tmean_c + 273.0) * terms.u2_m_per_s *
                          terms.vapour_pressure_deficit_kpa;
    const double et = (energy + drying) / (delta + gamma * (1.0 + c.cd * terms.u2_m_per_s));
    return et < 0.0 ? 0.0 : et;
}

}  // namespace thirstline
