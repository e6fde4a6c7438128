// Monthly reference evapotranspiration of a place, from the climate data that are available.
//
// For each month the best available driver is used, and the choice is recorded
// (schema/tile/method.hpp):
//   radiation   Rs → sunshine (hours, else fraction) → cloud → temperature range (coefficient of
//               the surroundings, else 0.16 inland and 0.19 on the coast)
//   humidity    vapour pressure → dew point → RH · e°(Tmean) → Tmin minus the depression of the
//               surroundings → Tmin minus a depression from aridity
//   wind        own (at least 0.5 m/s) → that of the surroundings → 2 m/s
// They drive Penman–Monteith (FAO-56 eq. 6; ASCE-EWRI 2005 eq. 1). A month with only temperature of
// its own takes depression and wind from the surroundings if both are known there; otherwise
// Hargreaves–Samani (FAO-56 eq. 52) is used, scaled by the surroundings' ratio if there is one.
// Without the ratio Hargreaves–Samani does not give the tall reference, and ET stays unknown.
//
// Soil heat flux is omitted by default. Weather networks and schedulers add up days, and FAO-56
// takes it as 0 over a day (eq. 42); the monthly flux (eq. 43) then makes spring too low and autumn
// too high. The table compares with 82 weather stations over watered grass, which compute reference
// ET from their own sensors: the ratio of Penman–Monteith to the network's value by month, and the
// mean absolute error in mm/day:
//
//                          J    F    M    A    M    J    J    A    S    O    N    D    error
//   US, 29, eq. 43        .99  .88  .91  .89  .99  .96 1.02 1.06 1.06 1.09 1.08 1.09  .367
//   US, without          1.00  .91  .93  .91 1.01  .97 1.02 1.05 1.03 1.04 1.01 1.06  .334
//   Europe, 52, eq. 43   1.06 1.01  .99  .95  .93  .93  .96 1.01 1.07 1.11 1.18 1.19  .334
//   Europe, without      1.06 1.02 1.01  .98  .95  .95  .97 1.00 1.03 1.06 1.11 1.15  .309
//
// In hourly files of four places, monthly drivers with eq. 43 differ from the mean of daily ETo by
// up to +18 % in October; without it by at most 4 % from April to September and 2 % in the year.
//
// Rs, sunshine and vapour pressure are used as given: they must be checked when they are read.
// Months with unknown Tmax or Tmin have unknown ET.
//
// Thread safety: plain values and pure functions. No allocation; a profile takes 1 to 3 µs.
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

/// Values from nearby points with more complete data; NaN is unknown.
struct Surroundings {
    Monthly<double> dew_point_depression_c = kUnknownYear;  ///< Tmin − Tdew
    Monthly<double> u2_m_per_s = kUnknownYear;
    Monthly<double> radiation_coefficient = kUnknownYear;  ///< of FAO-56 eq. 50, °C^−0.5
    /// Ratio of Penman–Monteith for the required reference surface to Hargreaves–Samani.
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
    Monthly<double> site_shift_c{};  ///< subtracted from Tmax and Tmin, added to Tdew; 0 to 3
    /// For an unknown month: plain Hargreaves–Samani, the least trusted of all methods.
    Monthly<Method> method{};
};

/// `sun` must be monthly_sun of the point's latitude.
[[nodiscard]] ReferenceEtProfile reference_et_profile(const PointClimate& point,
                                                      const MonthlySun& sun,
                                                      const Surroundings& surroundings,
                                                      const EtOptions& options);

}  // namespace thirstline
