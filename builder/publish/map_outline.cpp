#include "builder/publish/map_outline.hpp"

#include <array>
#include <cstddef>

namespace thirstline {

namespace {

/// Counter-clockwise from the east.
enum Heading { east = 0, north = 1, west = 2, south = 3 };
constexpr std::array<CellCorner, 4> kSteps{{{0, 1}, {1, 0}, {0, -1}, {-1, 0}}};

class OutlineTracing {
  public:
    OutlineTracing(const std::vector<bool>& has_data, int rows, int columns)
        : has_data_(has_data),
          rows_(rows),
          columns_(columns),
          is_traced_(static_cast<std::size_t>(rows + 1) * static_cast<std::size_t>(columns)) {}

    std::vector<std::vector<CellCorner>> rings() {
        std::vector<std::vector<CellCorner>> rings;
        // Every ring has an edge along a parallel; it is found by its first one.
        for (int row = 0; row <= rows_; ++row) {
            for (int column = 0; column < columns_; ++column) {
                if (is_traced(row, column) || holds(row, column) == holds(row - 1, column))
                    continue;
                // Data are on the left: the ring runs eastward if they are to the north.
                if (holds(row, column)) {
                    rings.push_back(ring_from({row, column}, east));
                } else {
                    rings.push_back(ring_from({row, column + 1}, west));
                }
            }
        }
        return rings;
    }

  private:
    [[nodiscard]] bool holds(int row, int column) const {
        if (row < 0 || column < 0 || row >= rows_ || column >= columns_) return false;
        return has_data_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
                         static_cast<std::size_t>(column)];
    }
    std::vector<bool>::reference is_traced(int row, int column) {
        return is_traced_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
                          static_cast<std::size_t>(column)];
    }
    /// Whether an edge leaves the corner in that direction, with data on its left and none on its
    /// right.
    [[nodiscard]] bool leaves(CellCorner from, int heading) const {
        const bool north_east = holds(from.row, from.column);
        const bool north_west = holds(from.row, from.column - 1);
        const bool south_west = holds(from.row - 1, from.column - 1);
        const bool south_east = holds(from.row - 1, from.column);
        switch (heading) {
            case east:
                return north_east && !south_east;
            case north:
                return north_west && !north_east;
            case west:
                return south_west && !north_west;
            default:
                return south_east && !south_west;
        }
    }

    std::vector<CellCorner> ring_from(CellCorner start, int heading) {
        std::vector<CellCorner> ring;
        const int first_heading = heading;
        CellCorner at = start;
        do {
            ring.push_back(at);
            // Straight on as long as possible.
            do {
                if (heading == east) is_traced(at.row, at.column) = true;
                if (heading == west) is_traced(at.row, at.column - 1) = true;
                at = {at.row + kSteps[static_cast<std::size_t>(heading)].row,
                      at.column + kSteps[static_cast<std::size_t>(heading)].column};
                // Left turns first, so that cells that touch only at a corner are in separate
                // rings.
                for (const int turn : {1, 0, 3}) {
                    if (!leaves(at, (heading + turn) % 4)) continue;
                    next_heading_ = (heading + turn) % 4;
                    break;
                }
            } while (next_heading_ == heading && !(at == start));
            if (at == start && next_heading_ == first_heading && heading == first_heading) {
                // The ring passed straight through its start.
                ring.erase(ring.begin());
            }
            heading = next_heading_;
        } while (!(at == start && heading == first_heading));
        return ring;
    }

    const std::vector<bool>& has_data_;
    int rows_;
    int columns_;
    int next_heading_ = 0;
    std::vector<bool> is_traced_;  ///< by edges along parallels
};

}  // namespace

std::vector<std::vector<CellCorner>> outline_rings(const std::vector<bool>& has_data, int rows,
                                                   int columns) {
    return OutlineTracing(has_data, rows, columns).rings();
}

}  // namespace thirstline
