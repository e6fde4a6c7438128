#include "builder/fusion/drivers.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/radiation.hpp"

namespace thirstline {

namespace {

constexpr double kMinRa = 1.0;
constexpr double kMinLoggedWindMPerS = 0.1;

double vapour_pressure_kpa(const PointClimate& climate, std::size_t month, double tmean_c) {
    if (!std::isnan(climate.vapour_pressure_kpa[month])) return climate.vapour_pressure_kpa[month];
    if (!std::isnan(climate.dew_point_c[month]))
        return vapour_pressure_from_dew_point_kpa(climate.dew_point_c[month]);
    return vapour_pressure_from_rh_mean_kpa(tmean_c, climate.relative_humidity_percent[month]);
}

double radiation_mj_m2_day(const PointClimate& climate, std::size_t month, const MonthlySun& sun) {
    const double ra = sun.ra_mj_m2_day[month];
    if (!std::isnan(climate.rs_mj_m2_day[month])) return climate.rs_mj_m2_day[month];
    if (!std::isnan(climate.sunshine_hours_per_day[month])) {
        return rs_from_sunshine_fraction(
            sunshine_fraction_of(climate.sunshine_hours_per_day[month], sun.daylight_hours[month]),
            ra);
    }
    if (!std::isnan(climate.sunshine_fraction[month]))
        return rs_from_sunshine_fraction(climate.sunshine_fraction[month], ra);
    return rs_from_cloud(climate.cloud_fraction[month], ra);
}

}  // namespace

std::string_view driver_name(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return "mean temperature";
        case Driver::temperature_range:
            return "temperature range";
        case Driver::humidity:
            return "humidity";
        case Driver::log_wind:
            return "wind";
        case Driver::clearness:
            return "clearness";
        case Driver::rain_root:
            return "rain";
    }
    return "";
}

DriverYear drivers_of(const PointClimate& climate, const MonthlySun& sun) {
    DriverYear drivers;
    drivers.fill(kUnknownYear);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double tmean_c = (climate.tmax_c[month] + climate.tmin_c[month]) / 2.0;
        of(drivers, Driver::mean_temperature)[month] = tmean_c;
        of(drivers, Driver::temperature_range)[month] =
            climate.tmax_c[month] - climate.tmin_c[month];
        of(drivers, Driver::humidity)[month] =
            vapour_pressure_kpa(climate, month, tmean_c) / saturation_vapour_pressure_kpa(tmean_c);
        of(drivers, Driver::log_wind)[month] =
            std::log(std::max(climate.u2_m_per_s[month], kMinLoggedWindMPerS));
        if (std::isnan(climate.u2_m_per_s[month])) of(drivers, Driver::log_wind)[month] = kUnknown;
        if (sun.ra_mj_m2_day[month] >= kMinRa) {
            of(drivers, Driver::clearness)[month] =
                radiation_mj_m2_day(climate, month, sun) / sun.ra_mj_m2_day[month];
        }
        of(drivers, Driver::rain_root)[month] =
            std::sqrt(std::max(climate.rain_mm[month], 0.0) / kDaysInMonth[month]);
        if (std::isnan(climate.rain_mm[month])) of(drivers, Driver::rain_root)[month] = kUnknown;
    }
    return drivers;
}

double clamped_to_possible(Driver driver, double value) {
    switch (driver) {
        case Driver::temperature_range:
            return std::max(value, 0.5);
        case Driver::humidity:
            return std::clamp(value, 0.02, 1.0);
        case Driver::clearness:
            return std::clamp(value, 0.05, 0.85);
        case Driver::rain_root:
            return std::max(value, 0.0);
        case Driver::mean_temperature:
        case Driver::log_wind:
            break;
    }
    return value;
}

void set_drivers(PointClimate& climate, const DriverYear& drivers, const MonthlySun& sun) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double tmean_c = of(drivers, Driver::mean_temperature)[month];
        const double range_c = of(drivers, Driver::temperature_range)[month];
        if (!std::isnan(tmean_c) && !std::isnan(range_c)) {
            climate.tmax_c[month] = tmean_c + range_c / 2.0;
            climate.tmin_c[month] = tmean_c - range_c / 2.0;
        }
        const double humidity = of(drivers, Driver::humidity)[month];
        if (!std::isnan(humidity) && !std::isnan(tmean_c))
            climate.vapour_pressure_kpa[month] = humidity * saturation_vapour_pressure_kpa(tmean_c);
        const double log_wind = of(drivers, Driver::log_wind)[month];
        if (!std::isnan(log_wind)) climate.u2_m_per_s[month] = std::exp(log_wind);
        const double clearness = of(drivers, Driver::clearness)[month];
        if (!std::isnan(clearness))
            climate.rs_mj_m2_day[month] = clearness * sun.ra_mj_m2_day[month];
        const double root = of(drivers, Driver::rain_root)[month];
        if (!std::isnan(root)) climate.rain_mm[month] = root * root * kDaysInMonth[month];
    }
}

}  // namespace thirstline
