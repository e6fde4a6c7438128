#include <algorithm>
#include <array>
#include <limits>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/raster_geometry.hpp"
#include "builder/grids/raw_reader.hpp"

namespace thirstline {
namespace {

/// Cells with at most this many unneeded ones between them are read together.
constexpr std::int32_t kGapOfColumns = 256;
constexpr std::size_t kScratchNumbers = std::size_t{1} << 20;  // 8 MiB of double

/// Slots [first, end) whose cells are read together.
struct Run {
    std::size_t first = 0;
    std::size_t end = 0;
    [[nodiscard]] std::int32_t first_cell(const AxisCells& axis) const { return axis.cells[first]; }
    [[nodiscard]] std::int32_t cells(const AxisCells& axis) const {
        return axis.cells[end - 1] - axis.cells[first] + 1;
    }
};

std::vector<Run> runs_of(const AxisCells& axis, std::int32_t gap, std::int32_t longest) {
    std::vector<Run> runs;
    for (std::size_t slot = 0; slot < axis.cells.size(); ++slot) {
        const bool continues = !runs.empty() &&
                               axis.cells[slot] - axis.cells[slot - 1] <= gap + 1 &&
                               axis.cells[slot] - axis.cells[runs.back().first] < longest;
        if (continues) {
            runs.back().end = slot + 1;
        } else {
            runs.push_back({slot, slot + 1});
        }
    }
    return runs;
}

/// Slots of the neighbouring cells, by slot. −1 if they are not in the list, which is possible for
/// cells that are not a corner of any point.
struct Neighbours {
    std::vector<std::int32_t> before;
    std::vector<std::int32_t> after;
};

template <class CellAt>
Neighbours neighbours_of(const AxisCells& axis, const CellAt& cell_at) {
    const auto slot_of = [&](std::int32_t cell) -> std::int32_t {
        const auto found = std::lower_bound(axis.cells.begin(), axis.cells.end(), cell);
        if (found == axis.cells.end() || *found != cell) return -1;
        return static_cast<std::int32_t>(found - axis.cells.begin());
    };
    Neighbours neighbours;
    for (const std::int32_t cell : axis.cells) {
        neighbours.before.push_back(slot_of(cell_at(cell - 1)));
        neighbours.after.push_back(slot_of(cell_at(cell + 1)));
    }
    return neighbours;
}

/// Elevation rasters of more than 2 km a pixel. In ETOPO5 (5′), harbours and mouths of rivers have
/// −10 m, as in Boston, New York, Seattle and San Francisco; the shore of the Caspian Sea, −28 m,
/// has −30 m.
constexpr double kCoarsePixelDeg = 0.018;
constexpr float kShelfInCoarsePixelsM = 15.0F;

}  // namespace

Result<GridWindow> Grid::read(const Placement& placement) {
    return read_cells(placement, nullptr, nullptr);
}

Result<GridWindow> Grid::read(const Placement& placement, const CellOwnership& ownership,
                              const BlockBounds& block) {
    return read_cells(placement, &ownership, &block);
}

Result<GridWindow> Grid::read_cells(const Placement& placement, const CellOwnership* ownership,
                                    const BlockBounds* block) {
    const GdalMessages messages;
    const AxisCells& row_cells = placement.row_cells;
    const AxisCells& column_cells = placement.column_cells;
    const std::size_t bands = bands_->months.size();
    GridWindow window;
    window.bands_ = bands;
    window.column_slots_ = column_cells.cells.size();
    window.values_.assign(row_cells.cells.size() * window.column_slots_ * bands, kMissing);
    std::vector<std::uint8_t>& marks = window.marks_;
    marks.assign(row_cells.cells.size() * window.column_slots_, 0);

    const auto refuse = [&](std::int32_t row, std::int32_t column, std::size_t month, double value,
                            RejectionRule rule) {
        if (ownership != nullptr && !ownership->owns(*block, row, column)) return;
        Rejections& rejections = window.rejections_;
        ++rejections.counts[static_cast<std::size_t>(rule)];
        if (rejections.listed.size() < Rejections::kListed) {
            rejections.listed.push_back(
                {column, row, static_cast<int>(month), static_cast<float>(value), rule});
        }
    };

    const PlausibleRange& range = plausible_range(spec_.variable);
    RawReader reader(bands_->months, bands_->datasets.size() == 1);
    const auto longest_row = static_cast<std::int32_t>(kScratchNumbers / bands);
    for (const Run& column_run : runs_of(column_cells, kGapOfColumns, longest_row)) {
        const std::int32_t columns = column_run.cells(column_cells);
        const std::int32_t first_column = column_run.first_cell(column_cells);
        const std::int32_t most_rows = std::max(1, longest_row / columns);
        for (const Run& row_run : runs_of(row_cells, 0, most_rows)) {
            const std::int32_t first_row = row_run.first_cell(row_cells);
            if (!reader.read(first_column, first_row, columns, row_run.cells(row_cells))) {
                return fail(
                    ErrorCode::bad_input,
                    about_grid(spec_, spec_.path + " is damaged: row " + std::to_string(first_row) +
                                          " cannot be read" + messages.after_colon()));
            }
            for (std::size_t row_slot = row_run.first; row_slot < row_run.end; ++row_slot) {
                const std::int32_t row = row_cells.cells[row_slot];
                for (std::size_t slot = column_run.first; slot < column_run.end; ++slot) {
                    const std::int32_t column = column_cells.cells[slot];
                    const double* raw =
                        reader.cell(static_cast<std::size_t>(row - first_row) *
                                        static_cast<std::size_t>(columns) +
                                    static_cast<std::size_t>(column - first_column));
                    const std::size_t cell = row_slot * window.column_slots_ + slot;
                    float* values = window.values_.data() + cell * bands;
                    for (std::size_t month = 0; month < bands; ++month) {
                        if (std::isnan(raw[month])) continue;
                        double value = conversion_.canonical(raw[month], static_cast<int>(month));
                        if (!(value >= range.least && value <= range.greatest)) {
                            refuse(row, column, month, value, *rejection_of(spec_.variable, value));
                            continue;
                        }
                        value = clamped_to_range(spec_.variable, value) * spec_.value_factor;
                        values[month] = static_cast<float>(value);
                        marks[cell] = GridWindow::kHasData;
                    }
                }
            }
        }
    }

    if (spec_.variable == Variable::elevation) {
        if (geometry_->middle_cell_size().lat_deg > kCoarsePixelDeg)
            window.min_certain_depth_m_ = kShelfInCoarsePixelsM;
        return window;
    }
    const Neighbours above =
        neighbours_of(row_cells, [&](std::int32_t row) { return geometry_->row_at(row); });
    const Neighbours sideways = neighbours_of(
        column_cells, [&](std::int32_t column) { return geometry_->column_at(column); });
    for (std::size_t row = 0; row < row_cells.cells.size(); ++row) {
        if (row_cells.is_corner[row] == 0) continue;
        for (std::size_t column = 0; column < window.column_slots_; ++column) {
            if (column_cells.is_corner[column] == 0) continue;
            bool inland = true;
            for (const std::int32_t r :
                 {above.before[row], static_cast<std::int32_t>(row), above.after[row]}) {
                for (const std::int32_t c :
                     {sideways.before[column], static_cast<std::int32_t>(column),
                      sideways.after[column]}) {
                    if (r < 0 || c < 0) continue;
                    inland = inland && (marks[window.cell_index(r, c)] & GridWindow::kHasData) != 0;
                }
            }
            if (inland) marks[row * window.column_slots_ + column] |= GridWindow::kInland;
        }
    }
    return window;
}

}  // namespace thirstline
