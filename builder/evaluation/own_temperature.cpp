#include "builder/evaluation/own_temperature.hpp"

#include <array>
#include <cmath>

namespace thirstline {

namespace {

constexpr std::array<Driver, 3> kOthers{Driver::humidity, Driver::log_wind, Driver::clearness};

Monthly<double> own_residual(const Fusion& fusion, const StationPlace& place, Driver driver) {
    const Monthly<double> background =
        fusion.estimator(driver).background_at(place.site, of(place.grid_drivers, driver));
    Monthly<double> residual{};
    for (std::size_t month = 0; month < kMonths; ++month)
        residual[month] = of(place.own_drivers, driver)[month] - background[month];
    return residual;
}

}  // namespace

DriverYear other_drivers(const Fusion& fusion, const StationPlace& place, const LeftOut& left_out) {
    DriverYear drivers;
    drivers.fill(kUnknownYear);
    const Monthly<double> mean_residual = own_residual(fusion, place, Driver::mean_temperature);
    const Monthly<double> range_residual = own_residual(fusion, place, Driver::temperature_range);
    for (const Driver driver : kOthers) {
        const auto estimate = fusion.estimator(driver).at(
            place.site, of(place.grid_drivers, driver), mean_residual, range_residual, left_out);
        of(drivers, driver) = estimate ? estimate->value : of(place.grid_drivers, driver);
    }
    return drivers;
}

Monthly<double> eto_with_own_temperature_mm_per_day(const StationPlace& place,
                                                    const DriverYear& others,
                                                    const EtOptions& options) {
    DriverYear drivers = others;
    of(drivers, Driver::rain_root) = kUnknownYear;
    for (const Driver driver : {Driver::mean_temperature, Driver::temperature_range})
        of(drivers, driver) = of(place.own_drivers, driver);
    PointClimate climate;
    climate.position = place.own.position;
    climate.elevation_m = place.own.elevation_m;
    set_drivers(climate, drivers, place.sun);
    // In the polar night radiation is zero, not unknown.
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (std::isnan(climate.rs_mj_m2_day[month]) && place.sun.ra_mj_m2_day[month] < 1.0)
            climate.rs_mj_m2_day[month] = 0.0;
    }
    Monthly<double> eto = reference_et_profile(climate, place.sun, {}, options).eto_mm_per_day;
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (std::isnan(climate.rs_mj_m2_day[month]) || std::isnan(climate.u2_m_per_s[month]) ||
            std::isnan(climate.vapour_pressure_kpa[month]))
            eto[month] = kUnknown;
    }
    return eto;
}

}  // namespace thirstline
