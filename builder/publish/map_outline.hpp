// Lines around the cells of a raster that hold data.
#pragma once

#include <vector>

namespace thirstline {

/// A corner of cells: row 0 and column 0 are the raster's south-west edges.
struct CellCorner {
    int row = 0;
    int column = 0;
    friend bool operator==(const CellCorner&, const CellCorner&) = default;
};

/// Closed rings of corners, the first not repeated at the end, without corners in which a ring goes
/// straight on. Data lie to the left: outer rings run counter-clockwise (east along the south), the
/// rings of holes clockwise. Cells that touch in a corner only are of different rings. By their
/// first corner from the south-west, where each ring begins. `has_data` is by row, then column.
[[nodiscard]] std::vector<std::vector<CellCorner>> outline_rings(const std::vector<bool>& has_data,
                                                                 int rows, int columns);

}  // namespace thirstline
