#include "builder/pipeline/block_inputs.hpp"

#include <algorithm>
#include <cmath>

#include "builder/pipeline/gradient_squares.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMaxWindowBytes = std::size_t{24} << 20;
constexpr int kWidestBlockPoints = 1024;

/// The tile's rows or columns that are within the lattice.
struct Span {
    int first = 0;
    int end = 0;
};

Span points_of_tiles(int first_tile, int end_tile, int edge, int offset, int count) {
    return {std::max(first_tile * edge - offset, 0), std::min(end_tile * edge - offset, count)};
}

bool has_data(const GridSample& sample) {
    return std::any_of(sample.values.begin(), sample.values.end(),
                       [](float v) { return !std::isnan(v); });
}

int first_known_month(const GridSample& sample) {
    const auto known = std::find_if(sample.values.begin(), sample.values.end(),
                                    [](float v) { return !std::isnan(v); });
    return static_cast<int>(known - sample.values.begin());
}

}  // namespace

PlaceInputs inputs_at(const BlockInputs& inputs, int row, int column) {
    PlaceInputs place;
    place.grids.reserve(inputs.windows.size());
    bool has_inland = false;
    for (std::size_t g = 0; g < inputs.windows.size(); ++g) {
        const std::size_t geometry = inputs.geometry_of_grid[g];
        const Placement& placement = inputs.placements[geometry];
        GridAtPlace grid{
            inputs.variable_of_grid[g], inputs.windows[g].sample(placement, row, column), {}};
        if (has_data(grid.sample)) {
            if (!has_inland) place.inland = grid.sample.inland;
            has_inland = true;
            const auto& elevations = inputs.cell_elevations[geometry];
            if (elevations && is_adjusted(grid.variable)) {
                grid.ground = inputs.windows[g].cell_ground(placement, row, column, *elevations,
                                                            first_known_month(grid.sample));
            }
        }
        place.grids.push_back(grid);
    }
    if (inputs.elevation_window && has_inland) {
        place.elevation_m = inputs.elevation_window->point_elevation_m(inputs.elevation_placement,
                                                                       row, column, place.inland);
        if (!place.inland) {
            const LatLon position{inputs.points.lats_deg[static_cast<std::size_t>(row)],
                                  inputs.points.lons_deg[static_cast<std::size_t>(column)]};
            const double share = inputs.land.share_at(position);
            if (std::isfinite(share)) place.land_share = share;
        }
    }
    return place;
}

BlockReader::BlockReader(const Lattice& lattice, SourceGrids& sources, bool needs_land_shares)
    : lattice_(lattice),
      sources_(sources),
      needs_land_shares_(needs_land_shares),
      last_cell_elevations_(sources.first_of_geometry.size()) {}

/// The columns are already those of whole squares.
BlockBounds BlockReader::around(const BlockBounds& bounds) const {
    const Lattice squares = lattice_of_gradient_squares(lattice_);
    const int square_row = tile_of(squares, {bounds.first_row, bounds.first_column}).tile_row;
    const Span rows = points_of_tiles(square_row, square_row + 1, kGradientSquareEdge,
                                      global_offset(lattice_).row, lattice_.rows);
    return {rows.first, rows.end, bounds.first_column, bounds.end_column};
}

std::size_t BlockReader::bytes_of(const BlockBounds& bounds) const {
    const PointBlock points = block_of_lattice(lattice_, around(bounds));
    std::size_t bytes = 0;
    for (std::size_t geometry = 0; geometry < sources_.first_of_geometry.size(); ++geometry) {
        const Grid& first = *sources_.grids[sources_.first_of_geometry[geometry]].grid;
        const std::size_t window = first.place(points).window_bytes(kMonths);
        const auto grids = std::count_if(
            sources_.grids.begin(), sources_.grids.end(),
            [geometry](const SourceGrid& source) { return source.geometry == geometry; });
        bytes += window * static_cast<std::size_t>(grids);
    }
    return bytes;
}

std::vector<BlockBounds> BlockReader::blocks(int first_tile_row, int last_tile_row) const {
    const LatticePoint offset = global_offset(lattice_);
    const Lattice squares = lattice_of_gradient_squares(lattice_);
    const int first_column = first_tile(squares).tile_column;
    const int end_column = last_tile(squares).tile_column + 1;
    const auto bounds_of = [&](int tile_row, int from, int to) {
        const Span rows =
            points_of_tiles(tile_row, tile_row + 1, lattice_.tile_edge, offset.row, lattice_.rows);
        const Span columns =
            points_of_tiles(from, to, kGradientSquareEdge, offset.column, lattice_.columns);
        return BlockBounds{rows.first, rows.end, columns.first, columns.end};
    };
    // One width for all rows, tested in the middle of the lattice, where no edge reduces the area.
    const int middle_row = (first_tile(lattice_).tile_row + last_tile(lattice_).tile_row) / 2;
    int width = std::min(kWidestBlockPoints / kGradientSquareEdge, end_column - first_column);
    while (width > 1 &&
           bytes_of(bounds_of(middle_row, first_column, first_column + width)) > kMaxWindowBytes) {
        width = (width + 1) / 2;
    }
    std::vector<BlockBounds> blocks;
    for (int tile_row = first_tile_row; tile_row <= last_tile_row; ++tile_row) {
        for (int column = first_column; column < end_column; column += width)
            blocks.push_back(bounds_of(tile_row, column, std::min(column + width, end_column)));
    }
    return blocks;
}

Result<BlockInputs> BlockReader::read(const BlockBounds& bounds) {
    BlockInputs inputs;
    inputs.bounds = bounds;
    inputs.around = around(bounds);
    const PointBlock points = block_of_lattice(lattice_, inputs.around);
    const std::size_t geometries = sources_.first_of_geometry.size();
    inputs.cell_elevations.resize(geometries);
    for (std::size_t geometry = 0; geometry < geometries; ++geometry) {
        const Grid& first = *sources_.grids[sources_.first_of_geometry[geometry]].grid;
        inputs.placements.push_back(first.place(points));
        if (!sources_.geometry_needs_elevation[geometry]) continue;
        const Placement& placement = inputs.placements.back();
        auto& last = last_cell_elevations_[geometry];
        if (!last || !last->serves(placement))
            last = TRY(CellElevations::read(first, placement, *sources_.elevation));
        inputs.cell_elevations[geometry] = last;
    }
    for (SourceGrid& source : sources_.grids) {
        auto window =
            TRY(source.grid->read(inputs.placements[source.geometry], source.ownership, bounds));
        inputs.windows.push_back(std::move(window));
        inputs.geometry_of_grid.push_back(source.geometry);
        inputs.variable_of_grid.push_back(source.recipe->variable);
    }
    if (sources_.elevation) {
        inputs.elevation_placement = sources_.elevation->place(points);
        inputs.elevation_window = TRY(sources_.elevation->read(inputs.elevation_placement));
        inputs.points = points;
        if (needs_land_shares_) {
            inputs.land = TRY(LandMesh::read(*sources_.elevation,
                                             {points.lats_deg.front(), points.lons_deg.front()},
                                             {points.lats_deg.back(), points.lons_deg.back()}));
        }
    }
    return inputs;
}

}  // namespace thirstline
