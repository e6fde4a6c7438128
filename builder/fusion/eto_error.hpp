// From the errors of the drivers to that of reference ET.
//
// The variance of ETo is the sum over the drivers of (slope · standard error)², the slopes by
// central differences of the uncorrected Penman–Monteith or Hargreaves–Samani profile; plus what a
// rung of the method ladder costs where a driver is not known at all (mm/day against full
// Penman–Monteith at 925 US sites: temperature alone 0.45, wind by default 0.27, humidity from Tmin
// 0.25, radiation from the temperature range 0.12); plus 0.02² for rounding; times the factor that
// left-out stations ask for, squared; plus the square of half of what the site correction changes.
#pragma once

#include "builder/fusion/drivers.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"

namespace thirstline {

/// `profile` is that of the same climate. NaN where its ETo is unknown.
[[nodiscard]] Monthly<double> eto_standard_error_mm_per_day(
    const PointClimate& climate, const DriverYear& standard_error, const MonthlySun& sun,
    const Surroundings& surroundings, ReferenceSurface reference, const ReferenceEtProfile& profile,
    double error_factor);

}  // namespace thirstline
