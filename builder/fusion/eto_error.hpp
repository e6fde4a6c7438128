// Error of reference ET from the errors of the drivers.
//
// The variance of ETo is the sum over the drivers of (slope · standard error)², the slopes by
// central differences of the uncorrected Penman–Monteith or Hargreaves–Samani profile; plus the
// error of the method where a driver is unknown (mm/day against full Penman–Monteith at 925 US
// sites: temperature alone 0.45, wind by default 0.27, humidity from Tmin 0.25, radiation from the
// temperature range 0.12); plus 0.02² for rounding; times the square of the factor fitted to
// left-out stations; plus the square of half of the change by the site correction.
#pragma once

#include "builder/fusion/drivers.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"

namespace thirstline {

/// `profile` must be computed from the same climate. NaN if its ETo is unknown.
[[nodiscard]] Monthly<double> eto_standard_error_mm_per_day(
    const PointClimate& climate, const DriverYear& standard_error, const MonthlySun& sun,
    const Surroundings& surroundings, ReferenceSurface reference, const ReferenceEtProfile& profile,
    double error_factor);

}  // namespace thirstline
