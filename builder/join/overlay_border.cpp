#include "builder/join/overlay_border.hpp"

#include <array>

#include "schema/database/whole_tables.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

/// Which points of a lattice have data.
class PresentPoints {
  public:
    explicit PresentPoints(const Lattice& lattice)
        : lattice_(lattice),
          bits_(static_cast<std::size_t>(lattice.rows) *
                static_cast<std::size_t>(lattice.columns)) {}

    Result<void> read(const JoinedLattice& joined) {
        const std::int64_t first = tile_key(joined.own_id, {0, 0});
        const std::int64_t last = tile_key(joined.own_id + 1, {0, 0}) - 1;
        for (const JoinInput* input : joined.baseline->inputs) {
            auto scan = TRY(TileScan::over(*input->database, first, last));
            while (const auto row = TRY(scan.next())) {
                const auto tile =
                    TRY(decode_tile(row->codec, joined.baseline->layout(), row->data));
                add(tile_of_key(row->key), tile);
            }
        }
        return {};
    }

    /// False for points outside the lattice.
    [[nodiscard]] bool has(LatticePoint point) const {
        if (wraps(lattice_)) point.column = (point.column + lattice_.columns) % lattice_.columns;
        return contains(lattice_, point) && bits_[number_of(point)];
    }

    [[nodiscard]] bool has_neighbour(LatticePoint point) const {
        for (const int north : {-1, 0, 1}) {
            for (const int east : {-1, 0, 1})
                if (has({point.row + north, point.column + east})) return true;
        }
        return false;
    }

    /// Whether a look-up in the cell of that position finds data.
    [[nodiscard]] bool answers(LatLonE7 position) const {
        const CellPosition cell = cell_of(lattice_, position);
        for (const int north : {0, 1}) {
            for (const int east : {0, 1}) {
                const bool has_weight = (north == 0 || cell.north_fraction > 0) &&
                                        (east == 0 || cell.east_fraction > 0);
                if (has_weight && has({cell.south_west.row + north, cell.south_west.column + east}))
                    return true;
            }
        }
        return false;
    }

  private:
    [[nodiscard]] std::size_t number_of(LatticePoint point) const {
        return static_cast<std::size_t>(point.row) * static_cast<std::size_t>(lattice_.columns) +
               static_cast<std::size_t>(point.column);
    }

    void add(TileAddress address, const Tile& tile) {
        for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
            if (tile.present[slot] == 0) continue;
            const LatticePoint point = point_in_tile(lattice_, address, static_cast<int>(slot));
            if (contains(lattice_, point)) bits_[number_of(point)] = true;
        }
    }

    const Lattice& lattice_;
    std::vector<bool> bits_;
};

class OverlayBorder {
  public:
    OverlayBorder(const JoinPlan& plan, std::size_t lattice, TileSource& tiles)
        : plan_(plan),
          number_(lattice),
          lattice_(plan.lattices[lattice].lattice),
          tiles_(tiles),
          present_(lattice_) {}

    Result<std::vector<Vector3>> places() {
        TRY(present_.read(plan_.lattices[number_]));
        const int around = wraps(lattice_) ? 0 : 1;
        std::vector<Vector3> places;
        for (int row = -1; row <= lattice_.rows; ++row) {
            if (!is_latitude(row)) continue;
            for (int column = -around; column < lattice_.columns + around; ++column) {
                const LatticePoint point{row, column};
                if (present_.has(point) || !present_.has_neighbour(point)) continue;
                if (TRY(is_on_lower_land(point)))
                    places.push_back(unit_vector(position_of(lattice_, point)));
            }
        }
        return places;
    }

  private:
    [[nodiscard]] bool is_latitude(int row) const {
        const std::int64_t lat =
            lattice_.south_arcsec + std::int64_t{row} * lattice_.spacing_arcsec;
        return lat >= -90 * kArcsecPerDegree && lat <= 90 * kArcsecPerDegree;
    }

    /// By the highest of the lattices below that has data there; false if that is of this baseline.
    Result<bool> is_on_lower_land(LatticePoint point) {
        const LatLonE7 place = to_e7(position_of(lattice_, point));
        for (std::size_t below = number_; below-- > 0;) {
            const JoinedLattice& lower = plan_.lattices[below];
            const auto corners = TRY(corners_with_data(lower.lattice, place));
            if (corners.empty()) continue;
            if (lower.baseline == plan_.lattices[number_].baseline) return false;
            if (!contains(lattice_, point)) return true;
            // In the box, a coast would do, too: the coarser cell reaches beyond its own land.
            for (const LatLonE7 corner : corners)
                if (!present_.answers(corner)) return true;
            return false;
        }
        return false;
    }

    Result<std::vector<LatLonE7>> corners_with_data(const Lattice& lower, LatLonE7 place) {
        std::vector<LatLonE7> corners;
        const CellPosition cell = cell_of(lower, place);
        for (const int north : {0, 1}) {
            for (const int east : {0, 1}) {
                LatticePoint corner{cell.south_west.row + north, cell.south_west.column + east};
                if (wraps(lower)) corner.column = (corner.column + lower.columns) % lower.columns;
                if (!contains(lower, corner)) continue;
                const auto tile = TRY(tiles_.tile(lower, tile_of(lower, corner)));
                const auto slot = static_cast<std::size_t>(slot_in_tile(lower, corner));
                if (tile != nullptr && tile->present[slot] != 0)
                    corners.push_back(position_e7_of(lower, corner));
            }
        }
        return corners;
    }

    const JoinPlan& plan_;
    const std::size_t number_;
    const Lattice& lattice_;
    TileSource& tiles_;
    PresentPoints present_;
};

}  // namespace

Result<std::vector<Vector3>> border_of_overlay(const JoinPlan& plan, std::size_t lattice,
                                               TileSource& tiles) {
    return OverlayBorder(plan, lattice, tiles).places();
}

}  // namespace thirstline
