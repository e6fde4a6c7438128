#include "builder/publish/map_raster.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/export/export_job.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kFigures = 3;

/// Annual ETo and rain in mm; the standard error of ETo in percent of it.
using AnnualFigures = std::array<std::optional<double>, kFigures>;

std::optional<double> annual_sum(const Tile& tile, const Layer* layer, int slot, bool is_daily) {
    if (layer == nullptr) return std::nullopt;
    double sum = 0.0;
    for (int month = 0; month < kMonths; ++month) {
        const std::int32_t value = value_at(tile, *layer, slot, month);
        if (value == kMissingValue) return std::nullopt;
        sum += static_cast<double>(value) / layer->divisor *
               (is_daily ? kDaysInMonth[static_cast<std::size_t>(month)] : 1.0);
    }
    return sum;
}

AnnualFigures annual_figures(const TileLayout& layout, const Tile& tile, int slot) {
    const auto eto = annual_sum(tile, layout.find(LayerId::eto), slot, true);
    const auto eto_se = annual_sum(tile, layout.find(LayerId::eto_se), slot, true);
    AnnualFigures figures{eto, annual_sum(tile, layout.find(LayerId::rain), slot, false), {}};
    if (eto && eto_se && *eto > 0.0) figures[2] = 100.0 * *eto_se / *eto;
    return figures;
}

/// Sums over those points of a cell that have the highest rank in it.
struct CellSums {
    int rank = 0;
    int points = 0;
    std::array<double, kFigures> sums{};
    std::array<int, kFigures> counts{};

    void add(int point_rank, const AnnualFigures& figures) {
        if (points > 0 && point_rank < rank) return;
        if (points > 0 && point_rank > rank) *this = CellSums{};
        rank = point_rank;
        ++points;
        for (std::size_t i = 0; i < kFigures; ++i) {
            if (!figures[i]) continue;
            sums[i] += *figures[i];
            ++counts[i];
        }
    }
};

struct CellRange {
    int first = 0;
    int last = -1;
};

/// The cells of size `spacing` whose centers are within half a lattice spacing of a point that is
/// `offset` from the grid's edge; at least the cell that contains the point.
CellRange cells_about(std::int64_t offset, std::int32_t lattice_spacing, std::int32_t spacing,
                      int cells) {
    const int own = static_cast<int>(std::clamp<std::int64_t>(offset / spacing, 0, cells - 1));
    if (lattice_spacing <= spacing) return {own, own};
    const auto middle_from = [&](double edge) { return edge / spacing - 0.5; };
    const double half = lattice_spacing / 2.0;
    const int first = static_cast<int>(std::ceil(middle_from(static_cast<double>(offset) - half)));
    const int last =
        static_cast<int>(std::ceil(middle_from(static_cast<double>(offset) + half))) - 1;
    return {std::clamp(std::min(first, own), 0, cells - 1),
            std::clamp(std::max(last, own), 0, cells - 1)};
}

class MapFilling {
  public:
    MapFilling(const MapGrid& grid, const TileLayout& layout)
        : grid_(grid),
          layout_(layout),
          cells_(static_cast<std::size_t>(grid.rows) * static_cast<std::size_t>(grid.columns)) {}

    void add(const Lattice& lattice, const SelectedTile& selected) {
        for (int slot = 0; slot < layout_.slots(); ++slot) {
            if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
            const LatticePoint point = point_in_tile(lattice, selected.address, slot);
            const std::int64_t north = lattice.south_arcsec +
                                       std::int64_t{point.row} * lattice.spacing_arcsec -
                                       grid_.south_arcsec;
            std::int64_t east =
                (lattice.west_arcsec + std::int64_t{point.column} * lattice.spacing_arcsec -
                 grid_.west_arcsec) %
                kArcsecPerCircle;
            if (east < 0) east += kArcsecPerCircle;
            if (!holds(north, east)) continue;
            const CellRange rows =
                cells_about(north, lattice.spacing_arcsec, grid_.spacing_arcsec, grid_.rows);
            const CellRange columns =
                cells_about(east, lattice.spacing_arcsec, grid_.spacing_arcsec, grid_.columns);
            const AnnualFigures figures = annual_figures(layout_, selected.tile, slot);
            for (int row = rows.first; row <= rows.last; ++row) {
                for (int column = columns.first; column <= columns.last; ++column)
                    cell(row, column).add(lattice.rank, figures);
            }
        }
    }

    /// `more_decimals` than a map of the values has.
    [[nodiscard]] MapRaster raster(int more_decimals = 0) const {
        MapRaster raster{grid_, {}, std::vector<bool>(cells_.size())};
        for (std::size_t i = 0; i < cells_.size(); ++i) raster.has_data[i] = cells_[i].points > 0;
        const std::array<MapLayer, kFigures> layers{
            {{"eto_year", "mm", "annual reference evapotranspiration", {}, 0},
             {"rain_year", "mm", "annual rain, including snow water equivalent", {}, 0},
             {"eto_se_year_percent",
              "%",
              "standard error of annual reference evapotranspiration",
              {},
              1}}};
        for (std::size_t figure = 0; figure < kFigures; ++figure) {
            MapLayer layer = layers[figure];
            layer.decimals += more_decimals;
            const double scale = std::pow(10.0, layer.decimals);
            bool is_known_anywhere = false;
            for (const CellSums& cell : cells_) {
                if (cell.counts[figure] == 0) {
                    layer.values.emplace_back();
                    continue;
                }
                is_known_anywhere = true;
                const double mean = cell.sums[figure] / cell.counts[figure];
                layer.values.emplace_back(std::round(mean * scale) / scale);
            }
            if (is_known_anywhere) raster.layers.push_back(std::move(layer));
        }
        return raster;
    }

  private:
    /// Another database's points may be outside the grid.
    [[nodiscard]] bool holds(std::int64_t north_arcsec, std::int64_t east_arcsec) const {
        const std::int64_t spacing = grid_.spacing_arcsec;
        return north_arcsec >= 0 && north_arcsec < grid_.rows * spacing &&
               east_arcsec < grid_.columns * spacing;
    }

    CellSums& cell(int row, int column) {
        return cells_[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid_.columns) +
                      static_cast<std::size_t>(column)];
    }

    MapGrid grid_;
    const TileLayout& layout_;
    std::vector<CellSums> cells_;
};

}  // namespace

MapGrid map_grid_of(const PointSurvey& survey, const std::vector<Lattice>& lattices) {
    const auto most = std::ranges::max_element(survey.points_of_lattice);
    const std::int32_t point_spacing =
        lattices[static_cast<std::size_t>(most - survey.points_of_lattice.begin())].spacing_arcsec;
    // Half a spacing around the outermost points, so that points are at cell centers.
    const std::int64_t height = (survey.box.north - survey.box.south) / kUnitsPerArcsec;
    const std::int64_t width = survey.box.width / kUnitsPerArcsec;
    MapGrid grid;
    for (std::int32_t times = 1;; ++times) {
        const std::int64_t spacing = std::int64_t{point_spacing} * times;
        const std::int64_t rows = (height + point_spacing + spacing - 1) / spacing;
        const std::int64_t columns = std::min((width + point_spacing + spacing - 1) / spacing,
                                              (kArcsecPerCircle + spacing - 1) / spacing);
        if (rows * columns > kMaxMapCells) continue;
        grid.rows = static_cast<int>(rows);
        grid.columns = static_cast<int>(columns);
        grid.spacing_arcsec = static_cast<std::int32_t>(spacing);
        break;
    }
    grid.south_arcsec =
        static_cast<std::int32_t>(survey.box.south / kUnitsPerArcsec - point_spacing / 2);
    std::int64_t west = survey.box.west / kUnitsPerArcsec - point_spacing / 2;
    while (west < -kArcsecPerCircle / 2) west += kArcsecPerCircle;
    while (west >= kArcsecPerCircle / 2) west -= kArcsecPerCircle;
    grid.west_arcsec = static_cast<std::int32_t>(west);
    return grid;
}

namespace {

Result<MapFilling> filled(const MapGrid& grid, const Database& database,
                          const SelectedTiles& tiles) {
    MapFilling filling(grid, database.layout());
    for (const Lattice& lattice : database.lattices()) {
        const SelectedTiles::Rows rows = tiles.tile_rows(lattice);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto row = TRY(tiles.row(lattice, tile_row));
            for (const SelectedTile& tile : row) filling.add(lattice, tile);
        }
    }
    return filling;
}

/// Of layers of one id, cell by cell.
MapLayer change_of(const MapLayer& before, const MapLayer& after, std::string id,
                   std::string name) {
    MapLayer change{std::move(id), after.unit, std::move(name), {}, after.decimals};
    for (std::size_t cell = 0; cell < after.values.size(); ++cell) {
        const auto& old_value = before.values[cell];
        const auto& new_value = after.values[cell];
        change.values.push_back(
            old_value && new_value ? std::optional<double>(*new_value - *old_value) : std::nullopt);
    }
    return change;
}

const MapLayer* layer_named(const MapRaster& raster, std::string_view id) {
    const auto found = std::ranges::find(raster.layers, id, &MapLayer::id);
    return found == raster.layers.end() ? nullptr : &*found;
}

}  // namespace

Result<MapRaster> map_raster_of(const Database& database, const SelectedTiles& tiles,
                                const PointSurvey& survey) {
    const auto filling = TRY(filled(map_grid_of(survey, database.lattices()), database, tiles));
    return filling.raster();
}

std::optional<LatLonE7> middle_of(const MapRaster& map) {
    const MapGrid& grid = map.grid;
    std::optional<LatLonE7> middle;
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (int row = 0; row < grid.rows; ++row) {
        for (int column = 0; column < grid.columns; ++column) {
            const std::size_t cell = static_cast<std::size_t>(row) * grid.columns + column;
            // From the middle, in half cells.
            const std::int64_t north = 2 * row + 1 - grid.rows;
            const std::int64_t east = 2 * column + 1 - grid.columns;
            const std::int64_t squared = north * north + east * east;
            if (!map.has_data[cell] || squared >= least) continue;
            least = squared;
            const auto e7_of = [&](std::int64_t edge_arcsec, std::int64_t number) {
                return (2 * edge_arcsec + (2 * number + 1) * grid.spacing_arcsec) * 5'000'000 /
                       kArcsecPerDegree;
            };
            middle = LatLonE7{static_cast<std::int32_t>(e7_of(grid.south_arcsec, row)),
                              normalised_lon_e7(e7_of(grid.west_arcsec, column))};
        }
    }
    return middle;
}

Result<MapRaster> change_raster_of(Database& before, Database& after,
                                   const std::atomic<bool>& interrupted) {
    const SiteSelection everything;
    const auto tiles_of = [&](Database& database) {
        return SelectedTiles::make(database, everything, PointsWanted::that_answer_for_it,
                                   interrupted);
    };
    const auto new_tiles = TRY(tiles_of(after));
    const auto old_tiles = TRY(tiles_of(before));
    const auto survey = TRY(surveyed_points(after, new_tiles));
    const MapGrid grid = map_grid_of(survey, after.lattices());
    const auto new_filling = TRY(filled(grid, after, new_tiles));
    const auto old_filling = TRY(filled(grid, before, old_tiles));
    const MapRaster new_raster = new_filling.raster(1);
    const MapRaster old_raster = old_filling.raster(1);
    MapRaster change{grid, {}, std::vector<bool>(new_raster.has_data.size())};
    for (std::size_t cell = 0; cell < change.has_data.size(); ++cell)
        change.has_data[cell] = new_raster.has_data[cell] && old_raster.has_data[cell];
    struct Named {
        const char* id;
        const char* change_id;
        const char* name;
    };
    for (const Named& named :
         {Named{"eto_year", "eto_change", "change of annual reference evapotranspiration"},
          Named{"rain_year", "rain_change", "change of annual rain"}}) {
        const MapLayer* new_layer = layer_named(new_raster, named.id);
        const MapLayer* old_layer = layer_named(old_raster, named.id);
        if (new_layer == nullptr || old_layer == nullptr) continue;
        change.layers.push_back(change_of(*old_layer, *new_layer, named.change_id, named.name));
    }
    return change;
}

}  // namespace thirstline
