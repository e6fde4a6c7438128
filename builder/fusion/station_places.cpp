#include "builder/fusion/station_places.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/humidity_forms.hpp"
#include "builder/reference_et/temperature_extremes.hpp"

namespace thirstline {

namespace {

/// Tmax and Tmin, humidity and wind from the other forms in which a table may state them, in the
/// order of trust of point_assembly.hpp.
void complete_from_other_forms(PointClimate& climate, const Station& station) {
    using enum Variable;
    const double pressure = pressure_kpa(climate.elevation_m);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const auto of = [&](Variable variable) { return values_of(station, variable)[month]; };
        double& tmax_c = climate.tmax_c[month];
        double& tmin_c = climate.tmin_c[month];
        const TemperatureExtremes extremes =
            completed_extremes(tmax_c, tmin_c, of(tmean), of(temperature_range));
        tmax_c = extremes.tmax_c;
        tmin_c = extremes.tmin_c;
        double& vapour = climate.vapour_pressure_kpa[month];
        if (std::isnan(vapour))
            vapour = vapour_pressure_from_specific_humidity_kpa(of(specific_humidity), pressure);
        const double percent =
            relative_humidity_of({of(relative_humidity), of(relative_humidity_max),
                                  of(relative_humidity_min), of(vapour_pressure_deficit),
                                  of(vapour_pressure_deficit_max), of(vapour_pressure_deficit_min)},
                                 tmax_c, tmin_c)
                .percent;
        climate.relative_humidity_percent[month] = percent > 0.0 ? percent : kUnknown;
    }
}

constexpr double kYearsOfNormal = 30.0;
constexpr double kFewestYears = 2.0;
constexpr double kYearsOfShortRecord = 15.0;
constexpr double kNoiseOfFewYears = 15.0;
// A month of a single year that was chosen as typical is a noisy normal.
constexpr double kTypicalYearNoise = 2.0;

double noise_of(const Station& station, const std::vector<Variable>& variables) {
    double noise = 1.0;
    for (const Variable variable : variables) {
        const StationNormals* normals = normals_of(station, variable);
        if (normals != nullptr && known_months(normals->values) > 0)
            noise = std::max(noise, record_noise(normals->length, normals->years));
    }
    return noise;
}

}  // namespace

std::vector<Variable> variables_behind(Driver driver) {
    using enum Variable;
    switch (driver) {
        case Driver::mean_temperature:
            return {tmax, tmin, tmean, temperature_range};
        case Driver::temperature_range:
            return {tmax, tmin, temperature_range};
        case Driver::humidity:
            return {
                vapour_pressure,         specific_humidity,           dew_point,
                relative_humidity,       relative_humidity_max,       relative_humidity_min,
                vapour_pressure_deficit, vapour_pressure_deficit_max, vapour_pressure_deficit_min};
        case Driver::log_wind:
            return {wind};
        case Driver::clearness:
            return {radiation, sunshine_hours, sunshine_fraction, cloud};
        case Driver::rain_root:
            return {rain};
    }
    return {};
}

double record_noise(RecordLength length, double years) {
    if (length != RecordLength::short_record) return 1.0;
    const double known =
        std::isnan(years) ? kYearsOfShortRecord : std::clamp(years, kFewestYears, kYearsOfNormal);
    return 1.0 + kNoiseOfFewYears * (1.0 / known - 1.0 / kYearsOfNormal);
}

ResidualSite residual_site(const PlaceInputs& place, LatLon position, double elevation_m) {
    ResidualSite site{position, std::isfinite(elevation_m) ? elevation_m : 0.0, 0.0, 0.0,
                      place.land_share};
    for (const GridAtPlace& grid : place.grids) {
        if (!std::isfinite(grid.ground.elevation_m)) continue;
        site.above_cells_m = site.elevation_m - grid.ground.elevation_m;
        site.relief_m = grid.ground.relief_m;
        break;
    }
    return site;
}

PointClimate climate_of(const Station& station, double elevation_m) {
    PointClimate climate;
    climate.position = station.position;
    climate.elevation_m = elevation_m;
    climate.tmax_c = values_of(station, Variable::tmax);
    climate.tmin_c = values_of(station, Variable::tmin);
    climate.vapour_pressure_kpa = values_of(station, Variable::vapour_pressure);
    climate.dew_point_c = values_of(station, Variable::dew_point);
    climate.u2_m_per_s = values_of(station, Variable::wind);
    climate.rs_mj_m2_day = values_of(station, Variable::radiation);
    climate.sunshine_hours_per_day = values_of(station, Variable::sunshine_hours);
    climate.sunshine_fraction = values_of(station, Variable::sunshine_fraction);
    climate.cloud_fraction = values_of(station, Variable::cloud);
    climate.rain_mm = values_of(station, Variable::rain);
    complete_from_other_forms(climate, station);
    return climate;
}

std::vector<StationPlace> station_places(std::span<const Station> stations,
                                         std::span<const PlaceInputs> inputs) {
    std::vector<StationPlace> places;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const PlaceInputs& at = inputs[i];
        const double elevation_m =
            std::isnan(stations[i].elevation_m) ? at.elevation_m : stations[i].elevation_m;
        if (std::isnan(elevation_m)) continue;
        StationPlace place;
        place.station = i;
        place.site = residual_site(at, stations[i].position, elevation_m);
        place.sun = monthly_sun(stations[i].position.lat_deg);
        place.own = climate_of(stations[i], elevation_m);
        place.of_grids =
            assembled_point(stations[i].position, elevation_m, at.inland, at.grids,
                            default_lapse_rates(stations[i].position.lat_deg), place.sun)
                .climate;
        place.own_drivers = drivers_of(place.own, place.sun);
        place.grid_drivers = drivers_of(place.of_grids, place.sun);
        // A mean alone, without a range, is still used for the mean.
        const Monthly<double>& tmean = values_of(stations[i], Variable::tmean);
        const StationNormals* tmax = normals_of(stations[i], Variable::tmax);
        place.reported_eto_mm_per_day = values_of(stations[i], Variable::eto);
        place.eto_noise = noise_of(stations[i], {Variable::eto});
        for (std::size_t d = 0; d < kDrivers; ++d)
            place.noise[d] = noise_of(stations[i], variables_behind(static_cast<Driver>(d)));
        place.is_typical_year = tmax != nullptr && tmax->length == RecordLength::typical_year;
        if (place.is_typical_year)
            for (double& noise : place.noise) noise = std::max(noise, kTypicalYearNoise);
        for (std::size_t month = 0; month < kMonths; ++month) {
            double& mean = of(place.own_drivers, Driver::mean_temperature)[month];
            if (std::isnan(mean)) mean = tmean[month];
        }
        places.push_back(std::move(place));
    }
    return places;
}

}  // namespace thirstline
