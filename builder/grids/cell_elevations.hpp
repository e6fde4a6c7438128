// The mean elevation of a climate grid's cells, from which temperatures are adjusted to a point's
// elevation.
//
// A cell is averaged over k × k evenly spaced places (k is the ratio of its size to the elevation
// raster's cells, 1 to 8 along each axis), each interpolated bilinearly. Places with unknown
// elevation are omitted. There are two means, one with the depth of the sea and one with 0 instead,
// since one object serves several grids of the same geometry, each with its own coast.
//
// Thread safety: `read` belongs to the reader thread. The averages are computed on first use, once,
// by whichever thread is first; after that any number of threads may read them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <vector>

#include "builder/grids/grid_window.hpp"
#include "builder/grids/placement.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

class Grid;

class CellElevations {
  public:
    /// Reads the elevation raster under the cells of `source` that `placement` uses as corners.
    /// Errors: as Grid::read.
    [[nodiscard]] static Result<std::shared_ptr<const CellElevations>> read(
        const Grid& source, const Placement& placement, Grid& elevation);

    /// Whether `read` for this placement, on a source of the same geometry, would give the same. If
    /// the lattice is finer than the source, consecutive blocks need the same cells.
    [[nodiscard]] bool serves(const Placement& placement) const;

    /// By slots of the placement, m; NaN if unknown or if the cell is not a corner.
    [[nodiscard]] float mean_m(std::int32_t row_slot, std::int32_t column_slot,
                               bool below_sea_counts) const {
        std::call_once(averaged_, [this] { average(); });
        const std::size_t cell = static_cast<std::size_t>(row_slot) * column_slots_ +
                                 static_cast<std::size_t>(column_slot);
        return below_sea_counts ? mean_with_depth_m_[cell] : mean_above_sea_m_[cell];
    }

    /// Standard deviation of the elevation within the cell, the sea as 0, m; NaN as above.
    [[nodiscard]] float relief_m(std::int32_t row_slot, std::int32_t column_slot) const {
        std::call_once(averaged_, [this] { average(); });
        return relief_m_[static_cast<std::size_t>(row_slot) * column_slots_ +
                         static_cast<std::size_t>(column_slot)];
    }

  private:
    CellElevations() = default;
    void place_in_blocks(const Grid& source, const Placement& placement, const Grid& elevation);
    void place_one_by_one(const Grid& source, const Placement& placement, const Grid& elevation);
    void average() const;

    AxisCells row_cells_;
    AxisCells column_cells_;
    bool source_is_separable_ = true;
    std::size_t column_slots_ = 0;

    /// The places of one cell are `row_steps_` rows by `column_steps_` columns of `places_`. Cells
    /// are in `places_` in the order of these slots: row by row, with every column in each, or, for
    /// cells placed individually, row slot and column slot in pairs.
    std::vector<std::int32_t> row_slots_;
    std::vector<std::int32_t> column_slots_of_places_;
    bool in_pairs_ = false;
    int row_steps_ = 1;
    int column_steps_ = 1;

    mutable Placement places_;  ///< released with the window once the averages are computed
    mutable GridWindow window_;
    mutable std::once_flag averaged_;
    mutable std::vector<float> mean_with_depth_m_;
    mutable std::vector<float> mean_above_sea_m_;
    mutable std::vector<float> relief_m_;
};

}  // namespace thirstline
