#include "builder/build/fused_stations.hpp"

#include <cmath>
#include <cstdio>

#include "builder/build/survey.hpp"
#include "builder/stations/station_checks.hpp"

namespace thirstline {

namespace {

std::vector<Variable> variables_behind(Driver driver) {
    using enum Variable;
    switch (driver) {
        case Driver::mean_temperature:
            return {tmax, tmin, tmean};
        case Driver::temperature_range:
            return {tmax, tmin};
        case Driver::humidity:
            return {vapour_pressure, dew_point, relative_humidity};
        case Driver::log_wind:
            return {wind};
        case Driver::clearness:
            return {radiation, sunshine_hours, sunshine_fraction, cloud};
        case Driver::rain_root:
            return {rain};
    }
    return {};
}

/// How far a station is from what its neighbours let expect, in words.
std::string misfit_text(Driver driver, double yearly_misfit) {
    const char* unit = "";
    if (driver == Driver::mean_temperature || driver == Driver::temperature_range) unit = " degC";
    if (driver == Driver::rain_root) unit = " in roots of mm/day";
    char text[64];
    std::snprintf(text, sizeof text, "%+.2f%s over the year", yearly_misfit, unit);
    return text;
}

void reject_by_neighbours(StationSet& set, std::size_t station, Driver driver,
                          double yearly_misfit) {
    for (const Variable variable : variables_behind(driver)) {
        reject_station_value(
            set, station, variable, std::nullopt,
            {misfit_text(driver, yearly_misfit),
             "far from what its neighbours say of " + std::string(driver_name(driver)),
             "not used"});
    }
}

}  // namespace

Result<FusedStations> fused_stations(const Recipe& recipe, SourceGrids& sources) {
    auto set = read_station_sources(recipe);
    if (!set) return fail(set.error());
    std::vector<LatLon> positions;
    for (const Station& station : set->stations) positions.push_back(station.position);
    const auto inputs = inputs_at(sources, positions, Coverage::any_corner);
    if (!inputs) return fail(inputs.error());

    std::vector<double> terrain_m;
    for (const PlaceInputs& place : *inputs) terrain_m.push_back(place.elevation_m);
    std::vector<Monthly<double>> background_range_c(set->stations.size(), kUnknownYear);
    for (const StationPlace& place : station_places(set->stations, *inputs))
        background_range_c[place.station] = of(place.grid_drivers, Driver::temperature_range);
    check_stations(*set, terrain_m, background_range_c);

    Fusion fusion(station_places(set->stations, *inputs), drivers_of_grids(recipe),
                  recipe.reference, recipe.lattice.reach_m / 1000.0,
                  [&set](std::size_t station, Driver driver, double misfit) {
                      reject_by_neighbours(*set, station, driver, misfit);
                  });
    return FusedStations{std::move(*set), std::move(fusion)};
}

std::vector<StationRecord> station_records(const StationSet& set, const Recipe& recipe) {
    std::vector<StationRecord> records;
    const auto add_once = [](std::string& list, const std::string& word, const char* between) {
        if (word.empty() || list.find(word) != std::string::npos) return;
        list += (list.empty() ? "" : between) + word;
    };
    for (const Station& station : set.stations) {
        StationRecord record;
        for (const StationNormals& normals : station.normals) {
            if (known_months(normals.values) == 0) continue;
            const SourceTerms& terms =
                recipe.stations[static_cast<std::size_t>(normals.source)].terms;
            add_once(record.source, terms.name, "; ");
            add_once(record.period, terms.period, "; ");
            add_once(record.variables, std::string(variable_name(normals.variable)), ", ");
        }
        if (record.variables.empty() || std::isnan(station.elevation_m)) continue;
        record.name = station.name;
        record.country = station.country;
        record.position = to_e7(station.position);
        record.elevation_m = static_cast<std::int32_t>(std::lround(station.elevation_m));
        records.push_back(std::move(record));
    }
    return records;
}

}  // namespace thirstline
