#include "builder/fusion/eto_error.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

namespace {

constexpr double kRounding = 0.02;
constexpr double kCostOfTemperatureAlone = 0.45;
constexpr double kCostOfDefaultWind = 0.27;
constexpr double kCostOfHumidityFromTmin = 0.25;
constexpr double kCostOfRadiationFromRange = 0.12;

/// Small enough for a slope, large compared with rounding.
double step_of(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return 0.5;
        case Driver::temperature_range:
            return 1.0;
        case Driver::humidity:
            return 0.02;
        case Driver::log_wind:
            return 0.05;
        case Driver::clearness:
            return 0.02;
        case Driver::rain_root:
            break;
    }
    return 0.0;
}

double square(double x) {
    return x * x;
}

/// The error of the method itself, for missing drivers.
double method_variance(const Method& method) {
    if (method.equation == EtoEquation::hargreaves ||
        method.equation == EtoEquation::hargreaves_scaled)
        return square(kCostOfTemperatureAlone);
    if (method.equation == EtoEquation::grid_of_eto) return 0.0;
    double variance = 0.0;
    if (method.wind == WindFrom::two_m_per_s) variance += square(kCostOfDefaultWind);
    if (method.humidity == HumidityFrom::nearby_depression ||
        method.humidity == HumidityFrom::aridity_depression)
        variance += square(kCostOfHumidityFromTmin);
    if (method.radiation == RadiationFrom::temperature_range ||
        method.radiation == RadiationFrom::temperature_range_fitted)
        variance += square(kCostOfRadiationFromRange);
    return variance;
}

DriverYear moved(const DriverYear& drivers, Driver driver, double by) {
    DriverYear out = drivers;
    for (double& value : of(out, driver)) value = clamped_to_possible(driver, value + by);
    return out;
}

Monthly<double> uncorrected_eto(PointClimate climate, const DriverYear& drivers,
                                const MonthlySun& sun, const Surroundings& surroundings,
                                ReferenceSurface reference) {
    set_drivers(climate, drivers, sun);
    return reference_et_profile(climate, sun, surroundings, {reference, false})
        .eto_uncorrected_mm_per_day;
}

}  // namespace

Monthly<double> eto_standard_error_mm_per_day(
    const PointClimate& climate, const DriverYear& standard_error, const MonthlySun& sun,
    const Surroundings& surroundings, ReferenceSurface reference, const ReferenceEtProfile& profile,
    double error_factor) {
    const DriverYear drivers = drivers_of(climate, sun);
    Monthly<double> variance{};
    for (std::size_t month = 0; month < kMonths; ++month)
        variance[month] = square(kRounding) + method_variance(profile.method[month]);
    for (const Driver driver : {Driver::mean_temperature, Driver::temperature_range,
                                Driver::humidity, Driver::log_wind, Driver::clearness}) {
        const Monthly<double>& error = of(standard_error, driver);
        if (std::all_of(error.begin(), error.end(), [](double e) { return std::isnan(e); }))
            continue;
        const double step = step_of(driver);
        const DriverYear above = moved(drivers, driver, step);
        const DriverYear below = moved(drivers, driver, -step);
        const Monthly<double> up = uncorrected_eto(climate, above, sun, surroundings, reference);
        const Monthly<double> down = uncorrected_eto(climate, below, sun, surroundings, reference);
        for (std::size_t month = 0; month < kMonths; ++month) {
            // At the limits of the possible range, a step is shorter.
            const double steps = of(above, driver)[month] - of(below, driver)[month];
            const double part = (up[month] - down[month]) / steps * error[month];
            if (std::isfinite(part)) variance[month] += square(part);
        }
    }
    Monthly<double> se = kUnknownYear;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double corrected = profile.eto_mm_per_day[month];
        if (std::isnan(corrected)) continue;
        const double half_correction =
            (profile.eto_uncorrected_mm_per_day[month] - corrected) / 2.0;
        se[month] = std::sqrt(variance[month] * square(error_factor) + square(half_correction));
    }
    return se;
}

}  // namespace thirstline
