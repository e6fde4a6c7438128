#include "builder/fusion/fused_stations.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "builder/background/source_comparison.hpp"
#include "builder/background/survey.hpp"
#include "builder/stations/record_years.hpp"
#include "builder/stations/station_checks.hpp"

namespace thirstline {

namespace {

/// A station's value over the year, and the values that contradict it.
std::string evidence_text(Driver driver, const NeighbourEvidence& evidence) {
    struct Form {
        const char* unit;
        int decimals;
    };
    const Form form = driver == Driver::rain_root  ? Form{" mm a year", 0}
                      : driver == Driver::log_wind ? Form{" m/s", 1}
                      : driver == Driver::mean_temperature || driver == Driver::temperature_range
                          ? Form{" degC", 1}
                          : Form{"", 2};
    char text[160];
    std::snprintf(text, sizeof text, "%.*f%s; neighbors %.*f (nearest %.0f km), grids %.*f",
                  form.decimals, evidence.own, form.unit, form.decimals, evidence.of_neighbours,
                  evidence.nearest_km, form.decimals, evidence.of_background);
    return text;
}

void report_neighbours(StationSet& set, std::size_t station, Driver driver,
                       const NeighbourEvidence& evidence) {
    const std::string name(driver_name(driver));
    for (const Variable variable : variables_behind(driver)) {
        if (evidence.is_kept) {
            if (normals_of(set.stations[station], variable) == nullptr) continue;
            report_station(
                set, station, variable, std::nullopt,
                {evidence_text(driver, evidence), name + " is extreme compared with its neighbors",
                 "used, with a larger error", true});
            continue;
        }
        reject_station_value(set, station, variable, std::nullopt,
                             {evidence_text(driver, evidence),
                              name + " contradicts both neighbors and grids", "not used"});
    }
}

/// What the stations' own reports of ETo add to the drivers.
EtoStations eto_stations(const Recipe& recipe, const Survey& survey, const Fusion& fusion,
                         StationSet& set, const std::atomic<bool>* interrupted) {
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
    return EtoStations(
        stations,
        [&](std::size_t place, double share) {
            char text[48];
            std::snprintf(text, sizeof text, "%+.0f%% over the year", 100.0 * share);
            reject_station_value(
                set, fusion.places()[place].station, Variable::eto, std::nullopt,
                {text, "reference ET is far from that of its neighbors", "not used"});
        },
        interrupted);
}

/// The background's value of a variable, in the unit of computation.
Monthly<double> background_of(const PointClimate& climate, Variable variable) {
    switch (variable) {
        case Variable::tmax:
            return climate.tmax_c;
        case Variable::tmin:
            return climate.tmin_c;
        case Variable::temperature_range: {
            Monthly<double> range{};
            for (std::size_t month = 0; month < kMonths; ++month)
                range[month] = climate.tmax_c[month] - climate.tmin_c[month];
            return range;
        }
        case Variable::vapour_pressure:
            return climate.vapour_pressure_kpa;
        case Variable::dew_point:
            return climate.dew_point_c;
        case Variable::relative_humidity:
            return climate.relative_humidity_percent;
        case Variable::wind:
            return climate.u2_m_per_s;
        case Variable::radiation:
            return climate.rs_mj_m2_day;
        case Variable::sunshine_hours:
            return climate.sunshine_hours_per_day;
        case Variable::rain:
            return climate.rain_mm;
        default:
            return kUnknownYear;
    }
}

/// Each source's stations against the grids at their places, by variable.
Result<void> compare_with_grids(const Recipe& recipe, const SourceGrids& sources,
                                const StationSet& set, const std::vector<StationPlace>& places) {
    for (std::size_t s = 0; s < recipe.stations.size(); ++s) {
        const StationRecipe& source = recipe.stations[s];
        for (const StationVariable& variable : source.variables) {
            std::vector<ComparedYears> compared;
            for (const StationPlace& place : places) {
                const StationNormals* normals =
                    normals_of(set.stations[place.station], variable.variable);
                if (normals == nullptr || normals->source != static_cast<int>(s)) continue;
                compared.push_back(
                    {normals->values, background_of(place.of_grids, variable.variable)});
            }
            const auto grid =
                std::ranges::find_if(sources.grids, [&variable](const SourceGrid& each) {
                    return each.recipe->variable == variable.variable;
                });
            if (grid == sources.grids.end()) continue;
            const auto found = mismatch_of(variable.variable, variable.unit, compared);
            if (!found) continue;
            NamedSource named{source.where, "stations", source.terms.name,
                              source.layout == StationLayout::by_month};
            named.scale = variable.scale;
            named.offset = variable.offset;
            return fail(mismatch_error(*found, variable.variable, named, named_source(*grid)));
        }
    }
    return {};
}

Result<YearFields> year_fields(const Recipe& recipe, const std::vector<Station>& stations,
                               const std::vector<StationPlace>& places) {
    if (!recipe.year_layers) return YearFields();
    YearFields years(slopes_at_stations(stations, places));
    if (years.has_stations()) return years;
    return fail(ErrorCode::bad_input,
                recipe.path + ": no station has the years that layers = [\"years\"] needs",
                "add [[records]] of rain and temperature, or rain and ETo, with " +
                    std::to_string(kMinYearsOfNeed) +
                    " years or more of each month, or leave \"years\" out");
}

}  // namespace

Result<FusedStations> fused_stations(const Recipe& recipe, SourceGrids& sources,
                                     const Survey& survey, const std::atomic<bool>* interrupted) {
    auto set = read_station_sources(recipe);
    if (!set) return fail(set.error());
    std::vector<LatLon> positions;
    for (const Station& station : set->stations) positions.push_back(station.position);
    const auto inputs = TRY(inputs_at(sources, positions, Coverage::any_corner));

    std::vector<double> terrain_m;
    for (const PlaceInputs& place : inputs) terrain_m.push_back(place.elevation_m);
    std::vector<Monthly<double>> background_range_c(set->stations.size(), kUnknownYear);
    const std::vector<StationPlace> as_read = station_places(set->stations, inputs);
    TRY(compare_with_grids(recipe, sources, *set, as_read));
    for (const StationPlace& place : as_read)
        background_range_c[place.station] = of(place.grid_drivers, Driver::temperature_range);
    check_stations(*set, terrain_m, background_range_c);

    Fusion fusion(
        station_places(set->stations, inputs), drivers_of_grids(recipe), recipe.reference,
        recipe.lattice.reach_m / 1000.0,
        [&set](std::size_t station, Driver driver, const NeighbourEvidence& evidence) {
            report_neighbours(*set, station, driver, evidence);
        },
        interrupted);
    EtoStations eto = eto_stations(recipe, survey, fusion, *set, interrupted);
    if (interrupted != nullptr && interrupted->load())
        return fail(ErrorCode::interrupted, "interrupted");
    auto years = TRY(year_fields(recipe, set->stations, fusion.places()));
    return FusedStations{std::move(*set), std::move(fusion), std::move(eto), std::move(years)};
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
