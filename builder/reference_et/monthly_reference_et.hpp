// Reference evapotranspiration of a place through the year, from whatever is known of its climate.
//
// Month by month the best driver at hand is used, and which one it was is recorded
// (schema/tile/method.hpp):
//   radiation   Rs → sunshine (hours, else fraction) → cloud → temperature range (coefficient of
//               the surroundings, else 0.16 inland and 0.19 by the coast)
//   humidity    vapour pressure → dew point → RH · e°(Tmean) → Tmin less the depression of the
//               surroundings → Tmin less a depression from aridity
//   wind        own (0.5 m/s at least) → that of the surroundings → 2 m/s
// They drive Penman–Monteith (FAO-56 eq. 6; ASCE-EWRI 2005 eq. 1). A month with nothing of its own
// but temperature takes depression and wind from the surroundings if these give both; else
// Hargreaves–Samani (FAO-56 eq. 52), scaled by the surroundings' ratio where there is one. Without
// the ratio Hargreaves–Samani says nothing of the tall reference, and ET stays unknown.
//
// Soil heat flux is left out by default. Weather networks and schedulers add up days, and over a
// day FAO-56 takes it as nothing (eq. 42); the monthly flux (eq. 43) then makes spring too low and
// autumn too high. Measured at 82 weather stations over watered grass, which compute reference ET
// from their own sensors, Penman–Monteith over network by month, and the mean absolute error in
// mm/day:
//
//                          J    F    M    A    M    J    J    A    S    O    N    D    error
//   US, 29, eq. 43        .99  .88  .91  .89  .99  .96 1.02 1.06 1.06 1.09 1.08 1.09  .367
//   US, without          1.00  .91  .93  .91 1.01  .97 1.02 1.05 1.03 1.04 1.01 1.06  .334
//   Europe, 52, eq. 43   1.06 1.01  .99  .95  .93  .93  .96 1.01 1.07 1.11 1.18 1.19  .334
//   Europe, without      1.06 1.02 1.01  .98  .95  .95  .97 1.00 1.03 1.06 1.11 1.15  .309
//
// From hourly files of four places, monthly drivers with eq. 43 against the mean of daily ETo err
// by up to +18 % in October; without it by at most 4 % from April to September and 2 % in the year.
//
// Rs, sunshine and vapour pressure are used as given: checking them is the reader's task. Months
// with Tmax or Tmin unknown have unknown ET.
//
// Thread safety: plain values and pure functions. Nothing is allocated; a profile takes 1 to 3 µs.
#pragma once

#include <cstdint>
#include <limits>

#include "builder/reference_et/lapse_rates.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {

inline constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
inline constexpr Monthly<double> kUnknownYear{kUnknown, kUnknown, kUnknown, kUnknown,
                                              kUnknown, kUnknown, kUnknown, kUnknown,
                                              kUnknown, kUnknown, kUnknown, kUnknown};

/// Everything at the point's own elevation; NaN is unknown. Position and elevation must be known.
struct PointClimate {
    LatLon position;
    double elevation_m = 0.0;
    bool coastal = false;
    Monthly<double> tmax_c = kUnknownYear;
    Monthly<double> tmin_c = kUnknownYear;
    Monthly<double> vapour_pressure_kpa = kUnknownYear;
    Monthly<double> dew_point_c = kUnknownYear;
    Monthly<double> relative_humidity_percent = kUnknownYear;
    Monthly<double> u2_m_per_s = kUnknownYear;
    Monthly<double> rs_mj_m2_day = kUnknownYear;
    Monthly<double> sunshine_hours_per_day = kUnknownYear;
    Monthly<double> sunshine_fraction = kUnknownYear;  ///< n/N, 0 to 1
    Monthly<double> cloud_fraction = kUnknownYear;     ///< 0 to 1
    Monthly<double> rain_mm = kUnknownYear;            ///< in the month
};

/// What nearby points with fuller data say; NaN is unknown.
struct Surroundings {
    Monthly<double> dew_point_depression_c = kUnknownYear;  ///< Tmin − Tdew
    Monthly<double> u2_m_per_s = kUnknownYear;
    Monthly<double> radiation_coefficient = kUnknownYear;  ///< of FAO-56 eq. 50, °C^−0.5
    /// Penman–Monteith of the wanted reference surface over Hargreaves–Samani.
    Monthly<double> penman_monteith_to_hargreaves = kUnknownYear;
};

enum class SoilHeat : std::uint8_t {
    none,     ///< G = 0: the month as a sum of days
    monthly,  ///< FAO-56 eq. 43: the monthly equation as printed
};

struct EtOptions {
    ReferenceSurface reference = ReferenceSurface::short_reference;
    bool site_correction = true;
    SoilHeat soil_heat = SoilHeat::none;
};

struct ReferenceEtProfile {
    Monthly<double> eto_mm_per_day = kUnknownYear;              ///< 0 or more; NaN is unknown
    Monthly<double> eto_uncorrected_mm_per_day = kUnknownYear;  ///< from the weather as measured
    Monthly<double> site_shift_c{};  ///< taken off Tmax and Tmin, added to Tdew; 0 to 3
    /// Of an unknown month: plain Hargreaves–Samani, which is the least of all methods.
    Monthly<Method> method{};
};

/// `sun` must be monthly_sun of the point's latitude.
[[nodiscard]] ReferenceEtProfile reference_et_profile(const PointClimate& point,
                                                      const MonthlySun& sun,
                                                      const Surroundings& surroundings,
                                                      const EtOptions& options);

}  // namespace thirstline
