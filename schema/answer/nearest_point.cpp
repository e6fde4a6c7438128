#include "schema/answer/nearest_point.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <tuple>

#include "schema/geo/chord.hpp"

namespace thirstline {

namespace {

/// Rounding moves a unit vector by up to some 200 of 2^-30 (and a chord by twice that), so that of
/// two chords that lie nearer to each other than four times that the computed order may be the
/// other one. The walk goes on by this much beyond the best (6 m): then nothing better lies farther
/// out.
constexpr std::int64_t kRoundingQ30 = 1024;
constexpr std::int64_t kBeyondAnyChordQ30 = 3'000'000'000;

/// Directions of a lattice's columns, which every row of a walk meets again.
class ColumnDirections {
  public:
    explicit ColumnDirections(const Lattice& lattice) : lattice_(lattice) { columns_.fill(-1); }

    [[nodiscard]] CosineAndSineQ30 of(int column) {
        const std::size_t place = static_cast<std::size_t>(column) % kRemembered;
        if (columns_[place] != column) {
            columns_[place] = column;
            directions_[place] = cosine_and_sine_q30(position_e7_of(lattice_, {0, column}).lon_e7);
        }
        return directions_[place];
    }

  private:
    static constexpr std::size_t kRemembered = 32;
    const Lattice& lattice_;
    std::array<std::int32_t, kRemembered> columns_;
    std::array<CosineAndSineQ30, kRemembered> directions_;
};

/// Walks outward from a position, row by row and both ways along each, over the points that hold
/// data, as far as its owner still wants it to go.
class OutwardWalk {
  public:
    OutwardWalk(LatLonE7 position, const Lattice& lattice, std::int32_t distance_m,
                TileSource& tiles)
        : position_(position),
          lon_(cosine_and_sine_q30(position.lon_e7)),
          direction_(unit_vector_q30(cosine_and_sine_q30(position.lat_e7), lon_)),
          lattice_(lattice),
          grid_(lattice),
          columns_(lattice),
          tiles_(tiles) {
        go_no_farther_than(((std::int64_t{distance_m} + 1) << 30) / kEarthRadiusM + 1);
    }

    /// In units of 2^-30 of the Earth's radius.
    void go_no_farther_than(std::int64_t chord) {
        chord = std::min(chord + kRoundingQ30, kBeyondAnyChordQ30);
        limit_squared_ = chord * chord;
    }

    /// Calls take(point, squared chord) for each.
    template <class Take>
    Result<void> over_points(const Take& take) {
        const LatticePoint start = cell_of(lattice_, position_).south_west;
        for (const int step : {-1, 1}) {
            int row = step < 0 ? start.row : start.row + 1;
            row = step < 0 ? std::min(row, lattice_.rows - 1) : std::max(row, 0);
            for (; row >= 0 && row < lattice_.rows; row += step) {
                const Row next{row, cosine_and_sine_q30(position_e7_of(lattice_, {row, 0}).lat_e7)};
                if (!is_near(next)) break;
                TRY(over_row(next, start.column, take));
            }
        }
        return {};
    }

  private:
    struct Row {
        int row;
        CosineAndSineQ30 lat;
    };

    [[nodiscard]] std::int64_t squared_chord_to(const Row& row, int column) {
        return squared_chord_q60(direction_, unit_vector_q30(row.lat, columns_.of(column)));
    }
    /// A row is no nearer than its point due north or south.
    [[nodiscard]] bool is_near(const Row& row) const {
        return squared_chord_q60(direction_, unit_vector_q30(row.lat, lon_)) <= limit_squared_;
    }

    /// Both ways along a row: distance grows up to the opposite meridian.
    template <class Take>
    Result<void> over_row(const Row& row, int start_column, const Take& take) {
        const bool inside = start_column >= 0 && start_column < lattice_.columns;
        const int west_start = inside ? start_column : lattice_.columns - 1;
        const int east_start = inside ? (start_column + 1) % lattice_.columns : 0;
        TRY(one_way(row, west_start, -1, take));
        return one_way(row, east_start, 1, take);
    }

    /// Tile by tile.
    template <class Take>
    Result<void> one_way(const Row& row, int column, int step, const Take& take) {
        for (int walked = 0; walked < lattice_.columns;) {
            if (squared_chord_to(row, column) > limit_squared_) break;
            const PlaceInTile place = grid_.place_of({row.row, column});
            const auto tile = TRY(tiles_.tile(lattice_, place.tile));
            const int in_tile =
                std::min(1 + columns_left(column, step, place.slot % lattice_.tile_edge),
                         lattice_.columns - walked);
            if (tile != nullptr &&
                !over_tile(*tile, place.slot, {row, column, step, in_tile}, take))
                break;
            column = (column + step * in_tile + lattice_.columns) % lattice_.columns;
            walked += in_tile;
        }
        return {};
    }

    /// A part of a row.
    struct Stretch {
        const Row& row;
        int column, step, count;
    };

    /// From a slot on. False if it ended where the walk is to end.
    template <class Take>
    bool over_tile(const Tile& tile, int slot, const Stretch& stretch, const Take& take) {
        int column = stretch.column;
        for (int i = 0; i < stretch.count; ++i) {
            const std::int64_t squared = squared_chord_to(stretch.row, column);
            if (squared > limit_squared_) return false;
            if (tile.present[static_cast<std::size_t>(slot)] != 0)
                take(LatticePoint{stretch.row.row, column}, squared);
            column += stretch.step;
            slot += stretch.step;
        }
        return true;
    }

    /// Columns of the lattice that follow in the same tile.
    int columns_left(int column, int step, int column_in_tile) const {
        return step > 0 ? std::min(lattice_.tile_edge - 1 - column_in_tile,
                                   lattice_.columns - 1 - column)
                        : std::min(column_in_tile, column);
    }

    LatLonE7 position_;
    CosineAndSineQ30 lon_;
    UnitVectorQ30 direction_;
    const Lattice& lattice_;
    TileGrid grid_;
    ColumnDirections columns_;
    TileSource& tiles_;
    std::int64_t limit_squared_ = 0;
};

}  // namespace

Result<std::optional<NearestPoint>> nearest_point(LatLonE7 position, const Lattice& lattice,
                                                  std::int32_t reach_m, TileSource& tiles) {
    struct Candidate {
        std::int64_t squared;
        LatticePoint point;
    };
    const auto order = [](const Candidate& c) {
        return std::tuple(c.squared, c.point.row, c.point.column);
    };
    std::optional<Candidate> best;
    OutwardWalk walk(position, lattice, reach_m, tiles);
    TRY(walk.over_points([&](LatticePoint point, std::int64_t squared) {
        const Candidate candidate{squared, point};
        if (best ? order(candidate) >= order(*best) : metres_of_squared_chord(squared) > reach_m)
            return;
        best = candidate;
        walk.go_no_farther_than(chord_q30(squared) + 1);
    }));
    if (!best) return std::optional<NearestPoint>{};
    return std::optional{NearestPoint{best->point, metres_of_squared_chord(best->squared)}};
}

Result<std::vector<LatticePoint>> points_within(LatLonE7 position, const Lattice& lattice,
                                                std::int32_t distance_m, TileSource& tiles) {
    std::vector<LatticePoint> points;
    OutwardWalk walk(position, lattice, distance_m, tiles);
    TRY(walk.over_points([&](LatticePoint point, std::int64_t squared) {
        if (metres_of_squared_chord(squared) <= distance_m) points.push_back(point);
    }));
    return points;
}

}  // namespace thirstline
