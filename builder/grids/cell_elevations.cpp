#include "builder/grids/cell_elevations.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/grids/grid.hpp"
#include "builder/grids/raster_geometry.hpp"

namespace thirstline {
namespace {

constexpr int kMaxSteps = 8;

int steps_along(double cell_deg, double elevation_cell_deg) {
    // A ratio of 6.0000001 is 6.
    const double steps = std::ceil(cell_deg / elevation_cell_deg - 0.01);
    return static_cast<int>(std::clamp(steps, 1.0, static_cast<double>(kMaxSteps)));
}

/// Offset of a place from the cell's centre, in cells.
double offset_of(int step, int steps) {
    return (step + 0.5) / steps - 0.5;
}

std::vector<std::int32_t> corner_slots(const AxisCells& axis) {
    std::vector<std::int32_t> slots;
    for (std::size_t slot = 0; slot < axis.cells.size(); ++slot)
        if (axis.is_corner[slot] != 0) slots.push_back(static_cast<std::int32_t>(slot));
    return slots;
}

}  // namespace

Result<std::shared_ptr<const CellElevations>> CellElevations::read(const Grid& source,
                                                                   const Placement& placement,
                                                                   Grid& elevation) {
    const std::shared_ptr<CellElevations> result(new CellElevations);
    result->row_cells_ = placement.row_cells;
    result->column_cells_ = placement.column_cells;
    result->source_is_separable_ = placement.separable;
    result->column_slots_ = placement.column_cells.cells.size();

    const RasterGeometry::CellSize cell = source.geometry()->middle_cell_size();
    const RasterGeometry::CellSize pixel = elevation.geometry()->middle_cell_size();
    result->row_steps_ = steps_along(cell.lat_deg, pixel.lat_deg);
    result->column_steps_ = steps_along(cell.lon_deg, pixel.lon_deg);
    if (placement.separable) {
        result->place_in_blocks(source, placement, elevation);
    } else {
        result->place_one_by_one(source, placement, elevation);
    }
    Result<GridWindow> window = elevation.read(result->places_);
    if (!window) return fail(window.error());
    result->window_ = std::move(*window);
    return result;
}

void CellElevations::place_in_blocks(const Grid& source, const Placement& placement,
                                     const Grid& elevation) {
    row_slots_ = corner_slots(placement.row_cells);
    column_slots_of_places_ = corner_slots(placement.column_cells);
    std::vector<RasterPoint> along_rows;
    std::vector<RasterPoint> along_columns;
    for (const std::int32_t slot : row_slots_) {
        const double centre = placement.row_cells.cells[static_cast<std::size_t>(slot)];
        for (int step = 0; step < row_steps_; ++step) {
            along_rows.push_back({0.0, centre + offset_of(step, row_steps_)});
        }
    }
    for (const std::int32_t slot : column_slots_of_places_) {
        const double centre = placement.column_cells.cells[static_cast<std::size_t>(slot)];
        for (int step = 0; step < column_steps_; ++step) {
            along_columns.push_back({centre + offset_of(step, column_steps_), 0.0});
        }
    }
    PointBlock block;
    for (const LatLon& point : source.geometry()->positions_of(along_rows))
        block.lats_deg.push_back(std::clamp(point.lat_deg, -90.0, 90.0));
    for (const LatLon& point : source.geometry()->positions_of(along_columns)) {
        block.lons_deg.push_back(point.lon_deg);
    }
    places_ = elevation.place(block);
}

void CellElevations::place_one_by_one(const Grid& source, const Placement& placement,
                                      const Grid& elevation) {
    in_pairs_ = true;
    std::vector<std::uint8_t> is_used(row_cells_.cells.size() * column_slots_, 0);
    for (std::size_t point = 0; point < placement.row_positions.size(); ++point) {
        const AxisPosition& row = placement.row_positions[point];
        const AxisPosition& column = placement.column_positions[point];
        if (!row.inside || !column.inside) continue;
        for (const std::int32_t row_slot : {row.low_slot, row.high_slot}) {
            for (const std::int32_t column_slot : {column.low_slot, column.high_slot}) {
                is_used[static_cast<std::size_t>(row_slot) * column_slots_ +
                        static_cast<std::size_t>(column_slot)] = 1;
            }
        }
    }
    std::vector<RasterPoint> places;
    for (std::size_t cell = 0; cell < is_used.size(); ++cell) {
        if (is_used[cell] == 0) continue;
        row_slots_.push_back(static_cast<std::int32_t>(cell / column_slots_));
        column_slots_of_places_.push_back(static_cast<std::int32_t>(cell % column_slots_));
        const double row = row_cells_.cells[cell / column_slots_];
        const double column = column_cells_.cells[cell % column_slots_];
        for (int i = 0; i < row_steps_; ++i) {
            for (int j = 0; j < column_steps_; ++j) {
                places.push_back(
                    {column + offset_of(j, column_steps_), row + offset_of(i, row_steps_)});
            }
        }
    }
    places_ = elevation.place(source.geometry()->positions_of(places));
}

bool CellElevations::serves(const Placement& placement) const {
    // Without separable rows and columns, the cells depend on the individual points.
    return source_is_separable_ && placement.separable &&
           row_cells_.cells == placement.row_cells.cells &&
           row_cells_.is_corner == placement.row_cells.is_corner &&
           column_cells_.cells == placement.column_cells.cells &&
           column_cells_.is_corner == placement.column_cells.is_corner;
}

void CellElevations::average() const {
    const std::size_t cells = row_cells_.cells.size() * column_slots_;
    mean_with_depth_m_.assign(cells, std::numeric_limits<float>::quiet_NaN());
    mean_above_sea_m_ = mean_with_depth_m_;
    relief_m_ = mean_with_depth_m_;
    const int row_groups = in_pairs_ ? 1 : static_cast<int>(row_slots_.size());
    const auto column_groups = static_cast<int>(column_slots_of_places_.size());
    const int steps = row_steps_ * column_steps_;
    for (int row_group = 0; row_group < row_groups; ++row_group) {
        for (int column_group = 0; column_group < column_groups; ++column_group) {
            double with_depth_m = 0.0;
            double above_sea_m = 0.0;
            double squares = 0.0;
            int known = 0;
            for (int step = 0; step < steps; ++step) {
                const int row = in_pairs_ ? 0 : row_group * row_steps_ + step / column_steps_;
                const int column = in_pairs_ ? column_group * steps + step
                                             : column_group * column_steps_ + step % column_steps_;
                const double depth_m = window_.point_elevation_m(places_, row, column, true);
                if (std::isnan(depth_m)) continue;
                ++known;
                with_depth_m += depth_m;
                const double land_m = window_.point_elevation_m(places_, row, column, false);
                above_sea_m += land_m;
                squares += land_m * land_m;
            }
            if (known == 0) continue;
            const std::int32_t row_slot =
                row_slots_[static_cast<std::size_t>(in_pairs_ ? column_group : row_group)];
            const std::int32_t column_slot =
                column_slots_of_places_[static_cast<std::size_t>(column_group)];
            const std::size_t cell = static_cast<std::size_t>(row_slot) * column_slots_ +
                                     static_cast<std::size_t>(column_slot);
            mean_with_depth_m_[cell] = static_cast<float>(with_depth_m / known);
            const double mean_m = above_sea_m / known;
            mean_above_sea_m_[cell] = static_cast<float>(mean_m);
            relief_m_[cell] =
                static_cast<float>(std::sqrt(std::max(squares / known - mean_m * mean_m, 0.0)));
        }
    }
    places_ = Placement();
    window_ = GridWindow();
}

}  // namespace thirstline
