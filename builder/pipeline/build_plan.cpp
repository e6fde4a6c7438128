#include "builder/pipeline/build_plan.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "builder/background/source_grids.hpp"
#include "builder/background/survey.hpp"

namespace thirstline {

namespace {

constexpr double kSampledPoints = 40'000.0;
constexpr int kPositionsAtOnce = 2'000;
// Even a row of tiles without points takes some time.
constexpr double kPointsOfAnEmptyRow = 1.0;

/// The end of a range that begins at `first`: as many rows as the capacity holds, but at least one,
/// and few enough to leave one for each range after it.
std::size_t end_of_range(const std::vector<double>& weights, std::size_t first, double capacity,
                         std::size_t ranges_after) {
    const std::size_t last_end = weights.size() - ranges_after;
    double sum = weights[first];
    std::size_t end = first + 1;
    while (end < last_end && sum + weights[end] <= capacity) sum += weights[end++];
    return end;
}

std::vector<TileRows> ranges_within(const std::vector<double>& weights, int parts,
                                    double capacity) {
    std::vector<TileRows> ranges;
    std::size_t first = 0;
    for (int after = parts - 1; after >= 0; --after) {
        const std::size_t end =
            after == 0 ? weights.size()
                       : end_of_range(weights, first, capacity, static_cast<std::size_t>(after));
        ranges.push_back({static_cast<int>(first), static_cast<int>(end)});
        first = end;
    }
    return ranges;
}

double greatest_sum(const std::vector<double>& weights, const std::vector<TileRows>& ranges) {
    double greatest = 0.0;
    for (const TileRows& range : ranges) {
        greatest = std::max(greatest, std::accumulate(weights.begin() + range.first,
                                                      weights.begin() + range.end, 0.0));
    }
    return greatest;
}

/// Whether there can be a point: where a grid of temperature or ETo has a value, or, in a recipe
/// without one, where there is an elevation.
bool may_hold_point(const SourceGrids& sources, const PlaceInputs& place) {
    bool has_such_grid = false;
    for (std::size_t g = 0; g < sources.grids.size(); ++g) {
        using enum Variable;
        const Variable variable = sources.grids[g].recipe->variable;
        if (variable != tmax && variable != tmin && variable != tmean &&
            variable != temperature_range && variable != eto)
            continue;
        has_such_grid = true;
        if (std::ranges::any_of(place.grids[g].sample.values,
                                [](float value) { return !std::isnan(value); }))
            return true;
    }
    return !has_such_grid && !std::isnan(place.elevation_m);
}

/// Estimated points with data by tile row, from a sample of every row.
Result<std::vector<double>> points_by_tile_row(const Recipe& recipe, SourceGrids& sources) {
    const Lattice& lattice = recipe.lattice;
    const TileAddress first = first_tile(lattice);
    const double points = static_cast<double>(lattice.rows) * lattice.columns;
    const int stride = std::max(1, static_cast<int>(std::sqrt(points / kSampledPoints)));
    const auto tile_rows =
        static_cast<std::size_t>(last_tile(lattice).tile_row - first.tile_row + 1);
    std::vector<double> sampled(tile_rows, 0.0);
    std::vector<double> with_data(tile_rows, 0.0);
    std::vector<double> all(tile_rows, 0.0);
    const auto tile_row_of = [&](int row) {
        return static_cast<std::size_t>(tile_of(lattice, {row, 0}).tile_row - first.tile_row);
    };
    for (int row = 0; row < lattice.rows; ++row) all[tile_row_of(row)] += lattice.columns;
    std::vector<LatLon> positions;
    std::vector<std::size_t> tile_row_of_position;
    const auto count = [&]() -> Result<void> {
        const auto places = TRY(inputs_at(sources, positions));
        for (std::size_t i = 0; i < places.size(); ++i) {
            sampled[tile_row_of_position[i]] += 1.0;
            if (may_hold_point(sources, places[i])) with_data[tile_row_of_position[i]] += 1.0;
        }
        positions.clear();
        tile_row_of_position.clear();
        return {};
    };
    const int step = std::min(stride, lattice.tile_edge);
    for (int row = std::min(step / 2, lattice.rows - 1); row < lattice.rows; row += step) {
        for (int column = std::min(stride / 2, lattice.columns - 1); column < lattice.columns;
             column += stride) {
            positions.push_back(position_of(lattice, {row, column}));
            tile_row_of_position.push_back(tile_row_of(row));
        }
        if (positions.size() >= kPositionsAtOnce) TRY(count());
    }
    TRY(count());
    for (std::size_t t = 0; t < tile_rows; ++t)
        with_data[t] = sampled[t] > 0.0 ? with_data[t] / sampled[t] * all[t] : 0.0;
    return with_data;
}

}  // namespace

std::vector<TileRows> balanced_ranges(const std::vector<double>& weight_of_row, int parts) {
    parts = std::clamp(parts, 1, static_cast<int>(weight_of_row.size()));
    double low = *std::ranges::max_element(weight_of_row);
    double high = std::accumulate(weight_of_row.begin(), weight_of_row.end(), 0.0);
    // Halving brings the interval far below one point.
    for (int i = 0; i < 60 && high - low > 1e-3; ++i) {
        const double middle = (low + high) / 2.0;
        const auto ranges = ranges_within(weight_of_row, parts, middle);
        (greatest_sum(weight_of_row, ranges) <= middle ? high : low) = middle;
    }
    return ranges_within(weight_of_row, parts, high);
}

Result<std::vector<PlannedPart>> planned_parts(const Recipe& recipe, int parts) {
    auto sources = TRY(open_source_grids(recipe));
    const auto points = TRY(points_by_tile_row(recipe, sources));
    std::vector<double> weights = points;
    for (double& weight : weights) weight += kPointsOfAnEmptyRow;
    std::vector<PlannedPart> planned;
    for (const TileRows& rows : balanced_ranges(weights, parts)) {
        planned.push_back({rows, std::llround(std::accumulate(points.begin() + rows.first,
                                                              points.begin() + rows.end, 0.0))});
    }
    return planned;
}

std::string plan_json(const std::vector<PlannedPart>& parts) {
    using Json = nlohmann::ordered_json;
    Json list = Json::array();
    for (std::size_t p = 0; p < parts.size(); ++p) {
        list.push_back({{"part", std::to_string(p + 1) + "/" + std::to_string(parts.size())},
                        {"tile_rows", std::to_string(parts[p].rows.first) + ":" +
                                          std::to_string(parts[p].rows.end)},
                        {"points", parts[p].points}});
    }
    const Json plan{{"schema_version", 1},
                    {"tile_rows", parts.empty() ? 0 : parts.back().rows.end},
                    {"parts", std::move(list)}};
    return plan.dump(2) + "\n";
}

}  // namespace thirstline
