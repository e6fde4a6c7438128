#include "schema/answer/nearest_point.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>
#include <string>
#include <tuple>

#include "schema/geo/chord.hpp"

namespace thirstline {

namespace {

/// Rounding changes a unit vector by up to about 200 of 2^-30 (and a chord by twice that), so that
/// two chords whose difference is less than four times that may be computed in the wrong order. The
/// walk continues by this much beyond the best (6 m): then no better point is farther out.
constexpr std::int64_t kRoundingQ30 = 1024;
constexpr std::int64_t kBeyondAnyChordQ30 = 3'000'000'000;

/// A walk with fewer absent tiles than this is shorter than the query for other absent tiles.
constexpr int kAbsentBeforeAsking = 32;

/// A walk ends after this many lookups in tiles without a point there, or queries for absent tiles:
/// a valid file has points in nearly every tile, and the first point found soon ends the walk.
constexpr int kMaxEmptyVisits = 200'000;

/// Directions of a lattice's columns, which every row of a walk uses again.
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

/// Walks outward from a position, row by row and in both directions along each, over the points
/// with data, as far as its caller requires.
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

    /// Calls take(point, squared chord) for each point.
    template <class Take>
    Result<void> over_points(const Take& take) {
        const LatticePoint start = cell_of(lattice_, position_).south_west;
        for (const int step : {-1, 1}) {
            int row = step < 0 ? start.row : start.row + 1;
            row = step < 0 ? std::min(row, lattice_.rows - 1) : std::max(row, 0);
            while (row >= 0 && row < lattice_.rows) {
                const Row next{row, cosine_and_sine_q30(position_e7_of(lattice_, {row, 0}).lat_e7)};
                if (!is_near(next)) break;
                TRY(over_row(next, start.column, take));
                row = row_after(row, step);
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
    /// A row is at least as far as its point due north or south.
    [[nodiscard]] bool is_near(const Row& row) const {
        return squared_chord_q60(direction_, unit_vector_q30(row.lat, lon_)) <= limit_squared_;
    }

    /// The next row that may have points: tiles known to be absent are skipped.
    [[nodiscard]] int row_after(int row, int step) const {
        const int tile_row = grid_.place_of({row, 0}).tile.tile_row;
        if (!is_absent_row(tile_row)) return row + step;
        return step > 0 ? grid_.first_point_row(absent_.last_row + 1)
                        : grid_.first_point_row(absent_.first_row) - 1;
    }

    /// In both directions along a row: distance grows up to the opposite meridian.
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
            const auto tile = TRY(tile_at(place.tile));
            int passed = std::min(1 + columns_left(column, step, place.slot % lattice_.tile_edge),
                                  lattice_.columns - walked);
            if (tile == nullptr) {
                if (is_absent(place.tile)) {
                    passed = std::min(absent_columns(place.tile.tile_row, column, step),
                                      lattice_.columns - walked);
                }
            } else if (!over_tile(*tile, place.slot, {row, column, step, passed}, take)) {
                break;
            }
            if (empty_visits_ > kMaxEmptyVisits) {
                return fail(ErrorCode::bad_database,
                            "the search for the nearest point passes over more than " +
                                std::to_string(kMaxEmptyVisits) + " tiles without a point",
                            "download or build the file again");
            }
            column = static_cast<int>(
                (std::int64_t{column} + std::int64_t{step} * passed + lattice_.columns) %
                lattice_.columns);
            walked += passed;
        }
        return {};
    }

    [[nodiscard]] bool is_absent_row(int tile_row) const {
        return tile_row >= absent_.first_row && tile_row <= absent_.last_row;
    }

    [[nodiscard]] bool is_absent(TileAddress address) const {
        return is_absent_row(address.tile_row) ||
               (address.tile_row == absent_row_ && address.tile_column >= absent_.first_column &&
                address.tile_column <= absent_.last_column);
    }

    /// A null pointer if the tile is absent; absent_ may then contain the absent tiles around it.
    Result<std::shared_ptr<const Tile>> tile_at(TileAddress address) {
        if (is_absent(address)) return std::shared_ptr<const Tile>();
        auto tile = TRY(tiles_.tile(lattice_, address));
        if (tile == nullptr && ++absent_visits_ > kAbsentBeforeAsking) {
            absent_ = TRY(tiles_.absent_around(lattice_, address));
            empty_visits_ += absent_.first_column < absent_.last_column ? 1 : 0;
            absent_row_ = address.tile_row;
        }
        return tile;
    }

    /// From a column whose tile is absent: the columns to the first whose tile may exist, or to the
    /// end of the lattice.
    [[nodiscard]] int absent_columns(int tile_row, int column, int step) const {
        const int to_edge = step > 0 ? lattice_.columns - column : column + 1;
        if (is_absent_row(tile_row)) return to_edge;
        const std::int64_t to_tile =
            step > 0 ? grid_.first_point_column(std::int64_t{absent_.last_column} + 1) - column
                     : column - grid_.first_point_column(absent_.first_column) + 1;
        return static_cast<int>(std::clamp<std::int64_t>(to_tile, 1, to_edge));
    }

    /// A part of a row.
    struct Stretch {
        const Row& row;
        int column, step, count;
    };

    /// Starts at a slot. False if it stopped where the walk is to end.
    template <class Take>
    bool over_tile(const Tile& tile, int slot, const Stretch& stretch, const Take& take) {
        int column = stretch.column;
        bool any = false;
        bool goes_on = true;
        for (int i = 0; i < stretch.count && goes_on; ++i) {
            const std::int64_t squared = squared_chord_to(stretch.row, column);
            goes_on = squared <= limit_squared_;
            if (goes_on && tile.present[static_cast<std::size_t>(slot)] != 0) {
                any = true;
                take(LatticePoint{stretch.row.row, column}, squared);
            }
            column += stretch.step;
            slot += stretch.step;
        }
        empty_visits_ += any ? 0 : 1;
        return goes_on;
    }

    /// Number of following columns of the lattice in the same tile.
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
    AbsentTiles absent_{1, 0, 1, 0};  ///< the last that were found: none yet
    std::int32_t absent_row_ = -1;
    int empty_visits_ = 0;
    int absent_visits_ = 0;
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
