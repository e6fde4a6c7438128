#include "builder/evaluation/left_out_look_up.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/evaluation/own_temperature.hpp"
#include "builder/reference_et/hargreaves.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kInverseDistanceStations = 12;
constexpr double kCentimetres = 100.0;

ScoredYear& of(ScoredStation& scored, Estimator estimator) {
    return scored.estimates[static_cast<std::size_t>(estimator)];
}

Monthly<double> layer_values(const Answer& answer, const TileLayout& layout, LayerId id) {
    Monthly<double> values = kUnknownYear;
    const Layer* layer = layout.find(id);
    if (layer == nullptr) return values;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const std::int32_t value = answer.of(id)[month];
        if (value != kMissingValue)
            values[month] = static_cast<double>(value) / (layer->divisor * kAnswerScale);
    }
    return values;
}

ScoredYear answered_year(const Answer& answer, const TileLayout& layout, const MonthlySun& sun) {
    ScoredYear year = unknown_scored_year();
    if (!answer.found) return year;
    using enum ScoredVariable;
    of(year, tmax) = layer_values(answer, layout, LayerId::tmax);
    of(year, tmin) = layer_values(answer, layout, LayerId::tmin);
    of(year, rain) = layer_values(answer, layout, LayerId::rain);
    of(year, eto) = layer_values(answer, layout, LayerId::eto);
    for (std::size_t month = 0; month < kMonths; ++month) {
        // They are interpolated and adjusted separately, so they may cross if the range is small.
        const double tmax_c = of(year, tmax)[month];
        const double tmin_c = std::min(of(year, tmin)[month], tmax_c);
        if (std::isnan(tmax_c) || std::isnan(tmin_c)) continue;
        of(year, eto_temperature_only)[month] =
            hargreaves_eto_mm_per_day(tmax_c, tmin_c, sun.ra_mj_m2_day[month]);
    }
    return year;
}

std::int32_t whole_metres(double elevation_m) {
    return std::clamp(static_cast<std::int32_t>(std::lround(elevation_m)), kLowestElevationM,
                      kHighestElevationM);
}

/// The input of the look-up in addition to the position.
enum class Given { position, position_and_elevation };

/// From the corners alone if they answer; otherwise, as in a look-up, from the nearest point.
Result<Answer> fused_answer(const LeftOutStation& station, const TileBackgrounds& backgrounds,
                            const LookUpContext& context, Given given,
                            std::set<std::int64_t>& lacking) {
    const LatLonE7 at = to_e7(station.place->site.position);
    const std::vector<Lattice> lattices{context.with_stations.recipe.lattice};
    std::optional<std::int32_t> elevation_m;
    if (given == Given::position_and_elevation)
        elevation_m = whole_metres(station.place->site.elevation_m);
    ComputedTiles corners(backgrounds, context.with_stations, context.layout, station.left_out, at);
    auto answer = answer_at(at, elevation_m, lattices, context.layout, corners);
    if (!answer || answer->interpolated || !answer->found) {
        lacking = corners.lacking();
        return answer;
    }
    ComputedTiles whole(backgrounds, context.with_stations, context.layout, station.left_out,
                        std::nullopt);
    answer = answer_at(at, elevation_m, lattices, context.layout, whole);
    lacking = whole.lacking();
    return answer;
}

void add_neighbours(ScoredStation& scored, const LeftOutStation& station,
                    const Neighbourhood& neighbourhood) {
    const LatLon at = station.place->site.position;
    for (const Measured measured : {Measured::temperature, Measured::rain, Measured::all_drivers}) {
        const auto stations =
            neighbourhood.nearest(measured, kInverseDistanceStations, at, station.left_out);
        const std::vector<NearbyStation> first(stations.begin(),
                                               stations.begin() + (stations.empty() ? 0 : 1));
        const ScoredYear nearest = neighbourhood.mean_of(measured, first);
        const ScoredYear mean = neighbourhood.mean_of(measured, stations);
        for (std::size_t v = 0; v < kScoredVariables; ++v) {
            const auto variable = static_cast<ScoredVariable>(v);
            if (measured_for(variable) != measured) continue;
            of(of(scored, Estimator::nearest), variable) = of(nearest, variable);
            of(of(scored, Estimator::inverse_distance), variable) = of(mean, variable);
            scored.nearest_km[v] =
                stations.empty() ? std::numeric_limits<double>::infinity() : stations.front().km;
        }
    }
}

void add_own_temperature(ScoredStation& scored, const LeftOutStation& station,
                         const LookUpContext& context) {
    const Monthly<double>& truth = of(station.observed.values, ScoredVariable::eto_own_temperature);
    if (peak_month(truth) < 0) return;
    const StationPlace& place = *station.place;
    const auto set = [&](Estimator estimator, const DriverYear& others) {
        of(of(scored, estimator), ScoredVariable::eto_own_temperature) =
            eto_with_own_temperature_mm_per_day(place, others,
                                                et_options_of(context.with_stations.recipe));
    };
    set(Estimator::fused, other_drivers(context.with_stations.fusion, place, station.left_out));
    set(Estimator::background, place.grid_drivers);
    const auto stations = context.neighbourhood.nearest(
        Measured::all_drivers, kInverseDistanceStations, place.site.position, station.left_out);
    if (!stations.empty()) {
        set(Estimator::nearest, context.neighbourhood.mean_drivers({stations.front()}));
        set(Estimator::inverse_distance, context.neighbourhood.mean_drivers(stations));
    }
    Monthly<double>& hargreaves =
        of(of(scored, Estimator::hargreaves), ScoredVariable::eto_own_temperature);
    for (std::size_t month = 0; month < kMonths; ++month) {
        hargreaves[month] = hargreaves_eto_mm_per_day(
            place.own.tmax_c[month], place.own.tmin_c[month], place.sun.ra_mj_m2_day[month]);
    }
}

}  // namespace

Result<LeftOutLookUp> left_out_look_up(const LeftOutStation& station,
                                       const TileBackgrounds& backgrounds,
                                       const LookUpContext& context) {
    LeftOutLookUp look_up;
    const auto fused = TRY(fused_answer(station, backgrounds, context,
                                        Given::position_and_elevation, look_up.lacking));
    const auto unshifted =
        TRY(fused_answer(station, backgrounds, context, Given::position, look_up.lacking));
    BackgroundTiles grids(backgrounds);
    const auto background = TRY(answer_at(
        to_e7(station.place->site.position), whole_metres(station.place->site.elevation_m),
        {context.with_stations.recipe.lattice}, context.layout, grids));
    look_up.lacking.insert(grids.lacking().begin(), grids.lacking().end());
    if (!look_up.lacking.empty()) return look_up;

    ScoredStation& scored = look_up.scored;
    scored.position = station.place->site.position;
    scored.elevation_m = station.place->site.elevation_m;
    scored.name = station.name;
    scored.country = station.country;
    scored.observed = station.observed.values;
    of(scored, Estimator::fused) = answered_year(fused, context.layout, station.place->sun);
    of(scored, Estimator::background) =
        answered_year(background, context.layout, station.place->sun);
    scored.without_elevation = answered_year(unshifted, context.layout, station.place->sun);
    if (fused.found) scored.rise_m = fused.shifted_by_cm / kCentimetres;
    add_neighbours(scored, station, context.neighbourhood);
    add_own_temperature(scored, station, context);

    using enum ScoredVariable;
    const ScoredYear& of_grids = of(scored, Estimator::background);
    const int eto_peak = peak_month(of(of_grids, eto));
    const int temperature_only_peak = peak_month(of(of_grids, eto_temperature_only));
    add_derived(scored.observed, eto_peak, temperature_only_peak);
    for (ScoredYear& estimate : scored.estimates)
        add_derived(estimate, eto_peak, temperature_only_peak);
    if (fused.found) {
        of(scored.standard_error, rain) = layer_values(fused, context.layout, LayerId::rain_se);
        of(scored.standard_error, eto) = layer_values(fused, context.layout, LayerId::eto_se);
        of(scored.standard_error, eto_in_peak_month) = of(scored.standard_error, eto);
    }
    return look_up;
}

}  // namespace thirstline
