#include "builder/grids/placement.hpp"

#include <cmath>

#include "builder/grids/raster_geometry.hpp"

namespace thirstline {
namespace {

using CellsAround = RasterGeometry::CellsAround;

/// Marks the cells that points need along one axis, then numbers them.
class SlotNumbers {
  public:
    explicit SlotNumbers(int cells) : need_(static_cast<std::size_t>(cells), 0) {}

    void need(const CellsAround& around) {
        if (!around.inside) return;
        need_[static_cast<std::size_t>(around.before_low)] |= kRead;
        need_[static_cast<std::size_t>(around.after_high)] |= kRead;
        need_[static_cast<std::size_t>(around.low)] |= kRead | kCorner;
        need_[static_cast<std::size_t>(around.high)] |= kRead | kCorner;
    }

    AxisCells number() {
        AxisCells axis;
        slot_.assign(need_.size(), -1);
        for (std::size_t cell = 0; cell < need_.size(); ++cell) {
            if (need_[cell] == 0) continue;
            slot_[cell] = static_cast<std::int32_t>(axis.cells.size());
            axis.cells.push_back(static_cast<std::int32_t>(cell));
            axis.is_corner.push_back((need_[cell] & kCorner) != 0 ? 1 : 0);
        }
        return axis;
    }

    [[nodiscard]] AxisPosition position(const CellsAround& around) const {
        AxisPosition position;
        if (!around.inside) return position;
        position.low_slot = slot_[static_cast<std::size_t>(around.low)];
        position.high_slot = slot_[static_cast<std::size_t>(around.high)];
        position.high_weight = around.high_weight;
        position.within_high = around.within_high;
        position.inside = true;
        return position;
    }

  private:
    static constexpr std::uint8_t kRead = 1;
    static constexpr std::uint8_t kCorner = 2;
    std::vector<std::uint8_t> need_;
    std::vector<std::int32_t> slot_;
};

AxisCells number_axis(const std::vector<CellsAround>& around, int cells,
                      std::vector<AxisPosition>& positions) {
    SlotNumbers numbers(cells);
    for (const CellsAround& each : around) numbers.need(each);
    AxisCells axis = numbers.number();
    positions.reserve(around.size());
    for (const CellsAround& each : around) positions.push_back(numbers.position(each));
    return axis;
}

}  // namespace

PointBlock block_of_lattice(const Lattice& lattice, const BlockBounds& bounds) {
    const auto degrees = [&](std::int32_t first_arcsec, std::int32_t steps) {
        const std::int64_t arcsec =
            first_arcsec + std::int64_t{steps} * std::int64_t{lattice.spacing_arcsec};
        return static_cast<double>(arcsec) / kArcsecPerDegree;
    };
    PointBlock block;
    for (std::int32_t row = bounds.first_row; row < bounds.end_row; ++row)
        block.lats_deg.push_back(degrees(lattice.south_arcsec, row));
    for (std::int32_t column = bounds.first_column; column < bounds.end_column; ++column) {
        block.lons_deg.push_back(degrees(lattice.west_arcsec, column));
    }
    return block;
}

Placement place_block(const RasterGeometry& geometry, const PointBlock& block) {
    const auto rows = static_cast<int>(block.lats_deg.size());
    const auto columns = static_cast<int>(block.lons_deg.size());
    if (!geometry.is_separable()) {
        std::vector<LatLon> points;
        points.reserve(block.lats_deg.size() * block.lons_deg.size());
        for (const double lat : block.lats_deg) {
            for (const double lon : block.lons_deg) points.push_back({lat, lon});
        }
        return place_points(geometry, points, rows, columns);
    }
    std::vector<CellsAround> row_cells;
    std::vector<CellsAround> column_cells;
    for (const double lat : block.lats_deg)
        row_cells.push_back(geometry.rows_around(geometry.row_of_latitude(lat)));
    for (const double lon : block.lons_deg) {
        column_cells.push_back(geometry.columns_around(geometry.column_of_longitude(lon)));
    }
    Placement placement;
    placement.rows = rows;
    placement.columns = columns;
    placement.separable = true;
    placement.row_cells = number_axis(row_cells, geometry.rows(), placement.row_positions);
    placement.column_cells =
        number_axis(column_cells, geometry.columns(), placement.column_positions);
    return placement;
}

Placement place_points(const RasterGeometry& geometry, const std::vector<LatLon>& points, int rows,
                       int columns) {
    std::vector<CellsAround> row_cells;
    std::vector<CellsAround> column_cells;
    row_cells.reserve(points.size());
    column_cells.reserve(points.size());
    for (const RasterPoint& point : geometry.raster_points_of(points)) {
        row_cells.push_back(geometry.rows_around(point.row));
        column_cells.push_back(geometry.columns_around(point.column));
        // A point outside the raster needs no cells, along either axis.
        if (!row_cells.back().inside) column_cells.back().inside = false;
        if (!column_cells.back().inside) row_cells.back().inside = false;
    }
    Placement placement;
    placement.rows = rows;
    placement.columns = columns;
    placement.separable = false;
    placement.row_cells = number_axis(row_cells, geometry.rows(), placement.row_positions);
    placement.column_cells =
        number_axis(column_cells, geometry.columns(), placement.column_positions);
    return placement;
}

}  // namespace thirstline
