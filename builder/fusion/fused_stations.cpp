#include "builder/fusion/fused_stations.hpp"

#include <cmath>
#include <cstdio>

#include "builder/background/survey.hpp"
#include "builder/stations/station_checks.hpp"

namespace thirstline {

namespace {

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

/// What the stations' own reports of ETo say besides the drivers.
EtoStations eto_stations(const Recipe& recipe, const Survey& survey, const Fusion& fusion,
                         StationSet& set) {
    const EtOptions options = et_options_of(recipe);
    std::vector<EtoAtStation> stations;
    for (std::size_t p = 0; p < fusion.places().size(); ++p) {
        const StationPlace& place = fusion.places()[p];
        if (!all_known(place.reported_eto_mm_per_day)) continue;
        const PointClimate climate = fusion.at(place.of_grids, place.site, place.sun).climate;
        const ReferenceEtProfile profile =
            reference_et_profile(climate, place.sun, survey.around(climate), options);
        stations.push_back({p, place.site, place.reported_eto_mm_per_day, profile.eto_mm_per_day,
                            place.eto_noise});
    }
    return EtoStations(stations, [&](std::size_t place, double share) {
        char text[48];
        std::snprintf(text, sizeof text, "%+.0f %% over the year", 100.0 * share);
        reject_station_value(
            set, fusion.places()[place].station, Variable::eto, std::nullopt,
            {text, "far from what its neighbours say of reference ET", "not used"});
    });
}

}  // namespace

Result<FusedStations> fused_stations(const Recipe& recipe, SourceGrids& sources,
                                     const Survey& survey) {
    auto set = read_station_sources(recipe);
    if (!set) return fail(set.error());
    std::vector<LatLon> positions;
    for (const Station& station : set->stations) positions.push_back(station.position);
    const auto inputs = TRY(inputs_at(sources, positions, Coverage::any_corner));

    std::vector<double> terrain_m;
    for (const PlaceInputs& place : inputs) terrain_m.push_back(place.elevation_m);
    std::vector<Monthly<double>> background_range_c(set->stations.size(), kUnknownYear);
    for (const StationPlace& place : station_places(set->stations, inputs))
        background_range_c[place.station] = of(place.grid_drivers, Driver::temperature_range);
    check_stations(*set, terrain_m, background_range_c);

    Fusion fusion(station_places(set->stations, inputs), drivers_of_grids(recipe), recipe.reference,
                  recipe.lattice.reach_m / 1000.0,
                  [&set](std::size_t station, Driver driver, double misfit) {
                      reject_by_neighbours(*set, station, driver, misfit);
                  });
    EtoStations eto = eto_stations(recipe, survey, fusion, *set);
    return FusedStations{std::move(*set), std::move(fusion), std::move(eto)};
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
