// The positions of a block's points on a raster, and the raster's cells that they need.
//
// Raster coordinates count cells: cell (column c, row r) has its centre at exactly (c, r). They are
// rounded to 2^-20 of a cell, so that a point on the edge of two cells is on it on every machine;
// it belongs to the cell on its east and north side.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "schema/geo/lattice.hpp"

namespace thirstline {

/// Points at all combinations of latitudes and longitudes. Rows run from south to north, columns
/// from west to east; longitudes may exceed 180°.
struct PointBlock {
    std::vector<double> lats_deg;
    std::vector<double> lons_deg;
};

/// Rows and columns of a lattice, excluding the ends.
struct BlockBounds {
    std::int32_t first_row = 0;
    std::int32_t end_row = 0;
    std::int32_t first_column = 0;
    std::int32_t end_column = 0;
};

/// The lattice points within the bounds. A wrapping lattice's columns continue past 180°.
[[nodiscard]] PointBlock block_of_lattice(const Lattice& lattice, const BlockBounds& bounds);

/// A point along one axis of the raster, in slots: indices in the list of cells that are read.
struct AxisPosition {
    std::int32_t low_slot = -1;   ///< the cells with centres on both sides of the point;
    std::int32_t high_slot = -1;  ///< both the same beyond the outermost centres
    float high_weight = 0.0F;     ///< 0 at the low centre, towards 1 at the high one
    bool within_high = false;     ///< which of the two contains the point
    bool inside = false;          ///< within the raster's edges; the rest is undefined otherwise
};

/// The cells of one axis that a block needs.
struct AxisCells {
    std::vector<std::int32_t> cells;      ///< raster row or column of each slot, ascending
    std::vector<std::uint8_t> is_corner;  ///< by slot: 0 if only used as a neighbour
};

/// Valid for every grid of the same geometry.
struct Placement {
    std::int32_t rows = 0;
    std::int32_t columns = 0;
    /// Unrotated geographic raster: one position per row and one per column; else one per point.
    bool separable = true;
    std::vector<AxisPosition> row_positions;
    std::vector<AxisPosition> column_positions;
    AxisCells row_cells;
    AxisCells column_cells;

    [[nodiscard]] const AxisPosition& row_position(int row, int column) const {
        return row_positions[separable ? static_cast<std::size_t>(row) : point_index(row, column)];
    }
    [[nodiscard]] const AxisPosition& column_position(int row, int column) const {
        return column_positions[separable ? static_cast<std::size_t>(column)
                                          : point_index(row, column)];
    }
    /// Memory of a window of `bands` bands over these cells. For a projected raster the cells are
    /// the box around all points: narrow blocks take less.
    [[nodiscard]] std::size_t window_bytes(int bands) const {
        return row_cells.cells.size() * column_cells.cells.size() *
               (static_cast<std::size_t>(bands) * sizeof(float) + 1);
    }

  private:
    [[nodiscard]] std::size_t point_index(int row, int column) const {
        return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
               static_cast<std::size_t>(column);
    }
};

}  // namespace thirstline
