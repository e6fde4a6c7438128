// Outlines of the cells of a raster that have data.
#pragma once

#include <vector>

namespace thirstline {

/// A corner of cells: row 0 and column 0 are the raster's south and west edges.
struct CellCorner {
    int row = 0;
    int column = 0;
    friend bool operator==(const CellCorner&, const CellCorner&) = default;
};

/// Closed rings of corners, without repeating the first at the end, and without corners in which a
/// ring continues straight. Data are on the left: outer rings run counter-clockwise (eastward along
/// the south), the rings of holes clockwise. Cells that touch only at a corner are in different
/// rings. Each ring begins with its first corner from the south-west, and rings are sorted by that
/// corner. `has_data` is by row, then column.
[[nodiscard]] std::vector<std::vector<CellCorner>> outline_rings(const std::vector<bool>& has_data,
                                                                 int rows, int columns);

}  // namespace thirstline
