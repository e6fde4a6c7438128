#include "builder/background/survey.hpp"

#include <algorithm>
#include <cmath>

#include "builder/background/land_share.hpp"
#include "builder/background/source_comparison.hpp"
#include "builder/reference_et/air.hpp"
#include "builder/reference_et/hargreaves.hpp"

namespace thirstline {

namespace {

constexpr double kSurveyedPoints = 2000.0;
// Wind and humidity do not correlate much beyond a few hundred kilometres; ratios of two computed
// values, in which much of the climate cancels, a little farther.
constexpr double kDriverReachKm = 500.0;
constexpr double kRatioReachKm = 1000.0;
constexpr int kMeridiansAtPole = 36;

SurveyedPlaces places_to_survey(const Lattice& lattice) {
    const double points = static_cast<double>(lattice.rows) * lattice.columns;
    const int stride =
        std::max(1, static_cast<int>(std::ceil(std::sqrt(points / kSurveyedPoints))));
    SurveyedPlaces places;
    for (int row = std::min(stride / 2, lattice.rows - 1); row < lattice.rows; row += stride) {
        ++places.rows;
        for (int column = std::min(stride / 2, lattice.columns - 1); column < lattice.columns;
             column += stride) {
            places.positions.push_back(position_of(lattice, {row, column}));
        }
    }
    places.columns = static_cast<int>(places.positions.size()) / places.rows;
    return places;
}

}  // namespace

Result<std::vector<PlaceInputs>> inputs_at(SourceGrids& sources,
                                           const std::vector<LatLon>& positions,
                                           Coverage coverage) {
    std::vector<PlaceInputs> places(positions.size());
    std::vector<bool> has_inland(positions.size(), false);
    std::vector<bool> inland(positions.size(), false);
    for (SourceGrid& source : sources.grids) {
        Grid* elevation = is_adjusted(source.recipe->variable) ? sources.elevation.get() : nullptr;
        auto samples = TRY(samples_at(*source.grid, elevation, positions, coverage));
        for (std::size_t i = 0; i < places.size(); ++i) {
            const PlaceSample& sample = samples[i];
            GridAtPlace grid{source.recipe->variable, sample.sample, {}};
            bool has_data = false;
            for (std::size_t month = kMonths; month-- > 0;) {
                if (std::isnan(sample.sample.values[month])) continue;
                has_data = true;
                grid.ground = sample.ground[month];
            }
            if (has_data && !has_inland[i]) {
                has_inland[i] = true;
                inland[i] = places[i].inland = sample.sample.inland;
            }
            places[i].grids.push_back(grid);
        }
    }
    if (!sources.elevation) return places;
    const auto elevations = TRY(elevations_at(*sources.elevation, positions, inland));
    std::vector<std::size_t> coastal;
    std::vector<LatLon> coastal_positions;
    for (std::size_t i = 0; i < places.size(); ++i) {
        places[i].elevation_m = elevations[i];
        if (places[i].inland) continue;
        coastal.push_back(i);
        coastal_positions.push_back(positions[i]);
    }
    const auto shares = TRY(land_shares_at(*sources.elevation, coastal_positions));
    for (std::size_t i = 0; i < coastal.size(); ++i)
        if (std::isfinite(shares[i])) places[coastal[i]].land_share = shares[i];
    return places;
}

namespace {

/// Grids of one variable against the first of them, and rain against the maximum on Earth.
Result<void> compare_grids(const SourceGrids& sources, const std::vector<PlaceInputs>& places) {
    for (std::size_t g = 0; g < sources.grids.size(); ++g) {
        const GridRecipe& grid = *sources.grids[g].recipe;
        const auto values_of_grid = [&places](std::size_t number) {
            std::vector<Monthly<double>> values;
            for (const PlaceInputs& place : places) {
                const Monthly<float>& sampled = place.grids[number].sample.values;
                values.emplace_back();
                std::copy(sampled.begin(), sampled.end(), values.back().begin());
            }
            return values;
        };
        const std::vector<Monthly<double>> own = values_of_grid(g);
        if (grid.variable == Variable::rain && has_impossible_rain(own)) {
            return fail(ErrorCode::bad_input,
                        grid.where + ": the grid \"" + grid.terms.name +
                            "\" has more than 13,000 mm of rain a year at many places, more than "
                            "any place on Earth; its values are probably in tenths or hundredths",
                        "set scale = 0.1 or 0.01 in that [[grid]], or correct its unit");
        }
        for (std::size_t first = 0; first < g; ++first) {
            const GridRecipe& other = *sources.grids[first].recipe;
            if (other.variable != grid.variable) continue;
            const std::vector<Monthly<double>> of_other = values_of_grid(first);
            std::vector<ComparedYears> compared;
            for (std::size_t i = 0; i < own.size(); ++i) compared.push_back({own[i], of_other[i]});
            if (const auto found = mismatch_of(grid.variable, grid.unit, compared))
                return fail(mismatch_error(*found, grid.variable, named_source(sources.grids[g]),
                                           named_source(sources.grids[first])));
            break;
        }
    }
    return {};
}

/// By month, the mean over the places that have a value.
PlaceInputs mean_of(const std::vector<PlaceInputs>& places) {
    PlaceInputs mean = places.front();
    const auto mean_over = [&places](const auto& value_of) {
        double sum = 0.0;
        int count = 0;
        for (const PlaceInputs& place : places) {
            const auto value = static_cast<double>(value_of(place));
            if (std::isnan(value)) continue;
            sum += value;
            ++count;
        }
        return count > 0 ? sum / count : kUnknown;
    };
    mean.elevation_m = mean_over([](const PlaceInputs& p) { return p.elevation_m; });
    for (std::size_t g = 0; g < mean.grids.size(); ++g) {
        mean.grids[g].ground = {
            mean_over([g](const PlaceInputs& p) { return p.grids[g].ground.elevation_m; }),
            mean_over([g](const PlaceInputs& p) { return p.grids[g].ground.relief_m; })};
        for (std::size_t month = 0; month < kMonths; ++month) {
            mean.grids[g].sample.values[month] = static_cast<float>(mean_over(
                [g, month](const PlaceInputs& p) { return p.grids[g].sample.values[month]; }));
        }
    }
    return mean;
}

Result<std::optional<PlaceInputs>> pole_inputs(const Lattice& lattice, SourceGrids& sources,
                                               double lat_deg) {
    const double last_lat = position_of(lattice, {lattice.rows - 1, 0}).lat_deg;
    const double first_lat = position_of(lattice, {0, 0}).lat_deg;
    if (first_lat != lat_deg && last_lat != lat_deg) return std::optional<PlaceInputs>{};
    std::vector<LatLon> meridians;
    for (int i = 0; i < kMeridiansAtPole; ++i)
        meridians.push_back({lat_deg, -180.0 + i * 360.0 / kMeridiansAtPole});
    const auto places = TRY(inputs_at(sources, meridians));
    return std::optional{mean_of(places)};
}

/// Vapour pressure by the first two rungs of the ladder: the measured ones.
Monthly<double> measured_dew_point_c(const PointClimate& climate) {
    Monthly<double> dew_point = climate.dew_point_c;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double pressure = climate.vapour_pressure_kpa[month];
        if (!std::isnan(pressure)) dew_point[month] = dew_point_c(pressure);
    }
    return dew_point;
}

template <class Value>
Monthly<double> by_month(const Value& value) {
    Monthly<double> values{};
    for (std::size_t month = 0; month < kMonths; ++month) values[month] = value(month);
    return values;
}

bool is_finite(const Monthly<double>& values) {
    return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

}  // namespace

bool all_known(const Monthly<double>& values) {
    return std::none_of(values.begin(), values.end(), [](double v) { return std::isnan(v); });
}

Result<Survey> Survey::make(const Recipe& recipe, SourceGrids& sources) {
    Survey survey;
    survey.places_ = places_to_survey(recipe.lattice);
    survey.places_.inputs = TRY(inputs_at(sources, survey.places_.positions));
    const std::vector<LatLon>& positions = survey.places_.positions;
    const std::vector<PlaceInputs>& places = survey.places_.inputs;
    TRY(compare_grids(sources, places));

    std::vector<ValuesAtPlace> depressions;
    std::vector<ValuesAtPlace> log_winds;
    std::vector<ValuesAtPlace> coefficients;
    std::vector<ValuesAtPlace> ratios;
    const auto add = [](std::vector<ValuesAtPlace>& to, LatLon at, const Monthly<double>& values) {
        if (is_finite(values)) to.push_back({at, values});
    };
    for (std::size_t i = 0; i < places.size(); ++i) {
        const LatLon at = positions[i];
        const PlaceInputs& place = places[i];
        const MonthlySun sun = monthly_sun(at.lat_deg);
        const PointClimate c = assembled_point(at, place.elevation_m, place.inland, place.grids,
                                               default_lapse_rates(at.lat_deg), sun)
                                   .climate;
        const Monthly<double> dew_point = measured_dew_point_c(c);
        add(depressions, at, by_month([&](std::size_t m) { return c.tmin_c[m] - dew_point[m]; }));
        add(log_winds, at, by_month([&](std::size_t m) { return std::log(c.u2_m_per_s[m]); }));
        // In the polar night the coefficient has no meaning and no effect: it multiplies 0.
        add(coefficients, at, by_month([&](std::size_t m) {
                if (sun.ra_mj_m2_day[m] < 1.0)
                    return std::isnan(c.rs_mj_m2_day[m]) ? kUnknown : 0.16;
                return c.rs_mj_m2_day[m] /
                       (sun.ra_mj_m2_day[m] * std::sqrt(c.tmax_c[m] - c.tmin_c[m]));
            }));
        const bool complete =
            all_known(dew_point) && all_known(c.u2_m_per_s) && all_known(c.rs_mj_m2_day);
        if (!complete || !std::isfinite(place.elevation_m)) continue;
        ++survey.complete_places_;
        const ReferenceEtProfile profile = reference_et_profile(c, sun, {}, et_options_of(recipe));
        add(ratios, at, by_month([&](std::size_t m) {
                const double hargreaves =
                    hargreaves_eto_mm_per_day(c.tmax_c[m], c.tmin_c[m], sun.ra_mj_m2_day[m]);
                return hargreaves > 0.1 ? profile.eto_mm_per_day[m] / hargreaves : 1.0;
            }));
    }
    survey.depression_.emplace(std::move(depressions), kDriverReachKm);
    survey.log_wind_.emplace(std::move(log_winds), kDriverReachKm);
    survey.radiation_coefficient_.emplace(std::move(coefficients), kDriverReachKm);
    survey.ratio_.emplace(std::move(ratios), kRatioReachKm);

    survey.north_pole_ = TRY(pole_inputs(recipe.lattice, sources, 90.0));
    survey.south_pole_ = TRY(pole_inputs(recipe.lattice, sources, -90.0));
    return survey;
}

Surroundings Survey::around(const PointClimate& point) const {
    Surroundings around;
    const bool has_humidity = all_known(point.vapour_pressure_kpa) ||
                              all_known(point.dew_point_c) ||
                              all_known(point.relative_humidity_percent);
    const bool has_wind = all_known(point.u2_m_per_s);
    const bool has_radiation =
        all_known(point.rs_mj_m2_day) || all_known(point.sunshine_hours_per_day) ||
        all_known(point.sunshine_fraction) || all_known(point.cloud_fraction);
    if (!has_humidity) around.dew_point_depression_c = depression_->at(point.position);
    if (!has_wind) {
        around.u2_m_per_s = log_wind_->at(point.position);
        for (double& wind : around.u2_m_per_s) wind = std::exp(wind);
    }
    if (!has_radiation) around.radiation_coefficient = radiation_coefficient_->at(point.position);
    if (!has_humidity || !has_wind || !has_radiation)
        around.penman_monteith_to_hargreaves = ratio_->at(point.position);
    return around;
}

const PlaceInputs* Survey::pole(double lat_deg) const {
    if (lat_deg == 90.0 && north_pole_) return &*north_pole_;
    if (lat_deg == -90.0 && south_pole_) return &*south_pole_;
    return nullptr;
}

}  // namespace thirstline
