#include "builder/pipeline/lattice_coverage.hpp"

#include <algorithm>
#include <cmath>

#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

bool is_met(Need need, const PointRecord& record, std::size_t month) {
    const Method method = method_of_code(record.method[month]);
    const bool has_eto = !std::isnan(record.eto_mm_per_day[month]);
    const bool is_grid_of_eto = has_eto && method.equation == EtoEquation::grid_of_eto;
    const bool is_driven = has_eto && method.equation == EtoEquation::penman_monteith;
    switch (need) {
        case Need::temperature:
            return is_grid_of_eto ||
                   (!std::isnan(record.tmax_c[month]) && !std::isnan(record.tmin_c[month]));
        case Need::rain:
            return !std::isnan(record.rain_mm[month]);
        case Need::humidity:
            return is_grid_of_eto ||
                   (is_driven && method.humidity <= HumidityFrom::relative_humidity);
        case Need::wind:
            return is_grid_of_eto || (is_driven && method.wind == WindFrom::given);
        case Need::radiation:
            return is_grid_of_eto || (is_driven && method.radiation <= RadiationFrom::cloud);
    }
    return false;
}

bool has_values(const GridSample& sample) {
    return std::any_of(sample.values.begin(), sample.values.end(),
                       [](float value) { return !std::isnan(value); });
}

}  // namespace

std::string_view need_name(Need need) {
    switch (need) {
        case Need::temperature:
            return "temperature";
        case Need::rain:
            return "rain";
        case Need::humidity:
            return "humidity";
        case Need::wind:
            return "wind";
        case Need::radiation:
            return "radiation";
    }
    return "";
}

LatticeCoverage lattice_coverage(const PointContext& context) {
    const SurveyedPlaces& surveyed = context.survey.places();
    LatticeCoverage coverage;
    coverage.rows = surveyed.rows;
    coverage.columns = surveyed.columns;
    coverage.places_with_grid.resize(context.recipe.grids.size());
    for (std::size_t i = 0; i < surveyed.positions.size(); ++i) {
        const PlaceInputs& inputs = surveyed.inputs[i];
        CoveredPlace place;
        place.position = surveyed.positions[i];
        place.row = static_cast<int>(i) / surveyed.columns;
        place.column = static_cast<int>(i) % surveyed.columns;
        const PointRecord record = point_record(place.position, inputs, inputs.elevation_m,
                                                monthly_sun(place.position.lat_deg), context);
        for (std::size_t need = 0; need < kNeeds; ++need) {
            for (std::size_t month = 0; month < kMonths; ++month) {
                if (is_met(static_cast<Need>(need), record, month))
                    place.months[need] |= static_cast<std::uint16_t>(1U << month);
            }
            place.has_data = place.has_data || place.months[need] != 0;
        }
        if (place.has_data) {
            ++coverage.places_with_data;
            for (std::size_t g = 0; g < inputs.grids.size(); ++g)
                coverage.places_with_grid[g] += has_values(inputs.grids[g].sample) ? 1 : 0;
        }
        coverage.places.push_back(place);
    }
    return coverage;
}

}  // namespace thirstline
