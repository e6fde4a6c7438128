#include "builder/grids/grid_window.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/grids/cell_elevations.hpp"
#include "builder/grids/grid_bands.hpp"

namespace thirstline {
namespace {

struct Corner {
    std::int32_t row_slot = 0;
    std::int32_t column_slot = 0;
    float weight = 0.0F;
};

struct Corners {
    std::array<Corner, 4> all;
    std::size_t containing = 0;  ///< the corner whose cell contains the point
};

Corners corners_of(const AxisPosition& row, const AxisPosition& column) {
    const float high_row = row.high_weight;
    const float high_column = column.high_weight;
    Corners corners;
    corners.all = {{{row.low_slot, column.low_slot, (1.0F - high_row) * (1.0F - high_column)},
                    {row.low_slot, column.high_slot, (1.0F - high_row) * high_column},
                    {row.high_slot, column.low_slot, high_row * (1.0F - high_column)},
                    {row.high_slot, column.high_slot, high_row * high_column}}};
    corners.containing = (row.within_high ? 2U : 0U) + (column.within_high ? 1U : 0U);
    return corners;
}

}  // namespace

GridSample GridWindow::sample(const Placement& placement, int row, int column,
                              Coverage coverage) const {
    GridSample result;
    result.values.fill(kMissing);
    const AxisPosition& along_rows = placement.row_position(row, column);
    const AxisPosition& along_columns = placement.column_position(row, column);
    if (!along_rows.inside || !along_columns.inside) return result;

    const Corners corners = corners_of(along_rows, along_columns);
    const Corner& containing = corners.all[corners.containing];
    const std::size_t containing_cell = cell_index(containing.row_slot, containing.column_slot);
    const bool wants_own_cell = coverage == Coverage::containing_cell;
    if (wants_own_cell && (marks_[containing_cell] & kHasData) == 0) return result;
    const float* known = values_.data() + containing_cell * bands_;
    result.inland = (marks_[containing_cell] & kInland) != 0;

    Monthly<float> weights{};
    Monthly<float> sums{};
    for (const Corner& corner : corners.all) {
        const float* values = cell(corner.row_slot, corner.column_slot);
        for (std::size_t month = 0; month < kMonths; ++month) {
            const float value = values[month];
            const bool there = value == value;
            weights[month] += there ? corner.weight : 0.0F;
            sums[month] += there ? corner.weight * value : 0.0F;
        }
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        // The containing cell's weight is at least a quarter; the weights of others may all be 0.
        const bool has_value =
            wants_own_cell ? known[month] == known[month] : weights[month] > 0.0F;
        if (has_value) result.values[month] = sums[month] / weights[month];
    }
    return result;
}

CellGround GridWindow::cell_ground(const Placement& placement, int row, int column,
                                   const CellElevations& elevations, int month,
                                   Coverage coverage) const {
    const AxisPosition& along_rows = placement.row_position(row, column);
    const AxisPosition& along_columns = placement.column_position(row, column);
    if (!along_rows.inside || !along_columns.inside) return {};

    const Corners corners = corners_of(along_rows, along_columns);
    const Corner& containing = corners.all[corners.containing];
    if (coverage == Coverage::containing_cell &&
        std::isnan(cell(containing.row_slot, containing.column_slot)[month]))
        return {};
    double weight = 0.0;
    CellGround sum{0.0, 0.0};
    for (const Corner& corner : corners.all) {
        if (std::isnan(cell(corner.row_slot, corner.column_slot)[month])) continue;
        const float mean_m = elevations.mean_m(corner.row_slot, corner.column_slot,
                                               is_inland(corner.row_slot, corner.column_slot));
        if (std::isnan(mean_m)) continue;
        const auto corner_weight = static_cast<double>(corner.weight);
        weight += corner_weight;
        sum.elevation_m += corner_weight * static_cast<double>(mean_m);
        sum.relief_m += corner_weight * static_cast<double>(elevations.relief_m(
                                            corner.row_slot, corner.column_slot));
    }
    if (weight <= 0.0) return {};
    return {sum.elevation_m / weight, sum.relief_m / weight};
}

// The shore of the Dead Sea. Lower pixels are always the floor of a sea or lake.
constexpr float kLowestLandM = -430.0F;

/// The elevation of land in a pixel below 0 that may be land below the sea.
float depression_m(float pixel_m, float certain_depth_m) {
    if (pixel_m < kLowestLandM) return 0.0F;
    return std::max(pixel_m, std::min(2.0F * (pixel_m + certain_depth_m), 0.0F));
}

double GridWindow::point_elevation_m(const Placement& placement, int row, int column,
                                     bool inland) const {
    const double unknown = std::numeric_limits<double>::quiet_NaN();
    const AxisPosition& along_rows = placement.row_position(row, column);
    const AxisPosition& along_columns = placement.column_position(row, column);
    if (!along_rows.inside || !along_columns.inside) return unknown;

    const Corners corners = corners_of(along_rows, along_columns);
    const Corner& containing = corners.all[corners.containing];
    if (std::isnan(*cell(containing.row_slot, containing.column_slot))) return unknown;
    double weight = 0.0;
    double sum = 0.0;
    for (const Corner& corner : corners.all) {
        const float pixel_m = *cell(corner.row_slot, corner.column_slot);
        if (std::isnan(pixel_m)) continue;
        weight += static_cast<double>(corner.weight);
        const float below_sea_m = inland ? depression_m(pixel_m, min_certain_depth_m_) : 0.0F;
        sum += static_cast<double>(corner.weight) *
               static_cast<double>(pixel_m < 0.0F ? below_sea_m : pixel_m);
    }
    return sum / weight;
}

double GridWindow::point_land_share(const Placement& placement, int row, int column) const {
    const AxisPosition& along_rows = placement.row_position(row, column);
    const AxisPosition& along_columns = placement.column_position(row, column);
    double weight = 0.0;
    double land = 0.0;
    if (along_rows.inside && along_columns.inside) {
        for (const Corner& corner : corners_of(along_rows, along_columns).all) {
            const float pixel_m = *cell(corner.row_slot, corner.column_slot);
            if (std::isnan(pixel_m)) continue;
            const auto of_corner = static_cast<double>(corner.weight);
            weight += of_corner;
            if (pixel_m > 0.0F) land += of_corner;
        }
    }
    return weight > 0.0 ? land / weight : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace thirstline
