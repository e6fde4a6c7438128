// The cells of a grid that one block of points needs, in memory, and sampling from them.
//
// Sampling is bilinear between cell centres. A month is known if the cell that contains the point
// has a value in that month; corners without one are dropped and the weights renormalised. Beyond
// the outermost centres the edge cells are extended (across the seam of a grid that forms a full
// circle, the cells of the other side are used); outside the raster nothing is known.
//
// A cell is "inland" if it and its eight neighbours all have data, in any month. A neighbour beyond
// the raster's edge is taken to be like the edge cell, as in interpolation.
//
// Thread safety: a window does not change once read; any number of threads may sample it.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "builder/grids/placement.hpp"
#include "builder/grids/plausible_values.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

class CellElevations;

/// A cell value that was rejected and counts as missing.
struct RejectedCell {
    std::int32_t column = 0;  ///< of the raster, from its left
    std::int32_t row = 0;     ///< of the raster, from its top
    int month = 0;            ///< 0 is January
    float value = 0.0F;       ///< in the unit of computation (wind: at the source's height)
    RejectionRule rule = RejectionRule::outside_plausible_range;
};

struct Rejections {
    static constexpr std::size_t kListed = 100;
    std::array<std::int64_t, kRejectionRules> counts{};  ///< exact, by RejectionRule
    std::vector<RejectedCell> listed;  ///< the first kListed by row, column, month
};

struct GridSample {
    Monthly<float> values{};  ///< in the unit of computation, NaN where unknown
    bool inland = false;
};

/// NaN if unknown.
struct CellGround {
    double elevation_m = std::numeric_limits<double>::quiet_NaN();  ///< mean within the cells
    double relief_m = std::numeric_limits<double>::quiet_NaN();     ///< standard deviation
};

/// Where a grid has values.
enum class Coverage {
    containing_cell,  ///< if the cell that contains the point has a value: for points of a lattice
    any_corner,  ///< if any of the four cells around it has: for stations on the coast, whose own
                 ///< cell is sea
};

class GridWindow {
  public:
    /// For a point of the placement's block. The grid must have twelve months.
    [[nodiscard]] GridSample sample(const Placement& placement, int row, int column,
                                    Coverage coverage = Coverage::containing_cell) const;

    /// The ground of the source's cells that contribute to this point in that month, with the same
    /// weights as `sample`: its temperatures refer to this elevation. Pixels below sea level count
    /// only in inland cells. NaN if the value or all elevations are unknown.
    [[nodiscard]] CellGround cell_ground(const Placement& placement, int row, int column,
                                         const CellElevations& elevations, int month = 0,
                                         Coverage coverage = Coverage::containing_cell) const;

    /// For a grid of elevation: at the point itself, m. Unless the point is `inland`, pixels below
    /// 0 count as 0, since the depth of the sea is not an elevation; those below −430 m always do,
    /// since no land is lower. In a coarse raster, see `min_certain_depth_m_`. NaN if unknown.
    [[nodiscard]] double point_elevation_m(const Placement& placement, int row, int column,
                                           bool inland) const;

    /// For a grid of elevation: the share of land at the point, 0 to 1, interpolated between pixels
    /// that are land above 0 and not land otherwise. NaN if unknown.
    [[nodiscard]] double point_land_share(const Placement& placement, int row, int column) const;

    /// Rejected values of the cells that the block owns.
    [[nodiscard]] const Rejections& rejections() const { return rejections_; }

    /// A cell's values by slot: `bands()` of them, NaN where missing.
    [[nodiscard]] const float* cell(std::int32_t row_slot, std::int32_t column_slot) const {
        return values_.data() + cell_index(row_slot, column_slot) * bands_;
    }
    [[nodiscard]] int bands() const { return static_cast<int>(bands_); }
    /// Only meaningful for cells that are a corner of some point.
    [[nodiscard]] bool is_inland(std::int32_t row_slot, std::int32_t column_slot) const {
        return (marks_[cell_index(row_slot, column_slot)] & kInland) != 0;
    }

  private:
    friend class Grid;
    static constexpr std::uint8_t kHasData = 1;  ///< in any month
    static constexpr std::uint8_t kInland = 2;

    [[nodiscard]] std::size_t cell_index(std::int32_t row_slot, std::int32_t column_slot) const {
        return static_cast<std::size_t>(row_slot) * column_slots_ +
               static_cast<std::size_t>(column_slot);
    }

    std::size_t bands_ = 0;
    std::size_t column_slots_ = 0;
    std::vector<float> values_;        ///< [row slot][column slot][band]
    std::vector<std::uint8_t> marks_;  ///< by cell
    Rejections rejections_;

    /// A coarse climate grid has data in cells that are half sea, and the pixels of a coarse
    /// elevation raster are means over land and shelf: there, low coasts would stand below the sea.
    /// Pixels down to this depth count as 0, deeper ones less and less so until twice as deep.
    /// 0: every depth is sure.
    float min_certain_depth_m_ = 0.0F;
};

}  // namespace thirstline
