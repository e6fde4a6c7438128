// A lattice: the points, evenly spaced in latitude and longitude, for which a file holds values.
//
// All numbers are in whole arc-seconds. Points are at west + column·spacing, south + row·spacing.
// Tiles are squares of tile_edge × tile_edge points. They are anchored not to the lattice's corner
// but to the global grid that starts at 90° S, 180° W, so the same points fall into the same tiles
// in a whole file, in an extract of it, and in a shard. In a lattice that crosses the antimeridian,
// column numbers continue past 180° E. (An extract of it that begins east of the antimeridian
// counts from 180° W again, and so has other tiles.)
#pragma once

#include <bit>
#include <cstdint>
#include <string>

#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

inline constexpr std::int32_t kArcsecPerDegree = 3600;
inline constexpr std::int32_t kArcsecPerCircle = 360 * kArcsecPerDegree;

/// Row 0 is the southernmost, column 0 the westernmost.
struct LatticePoint {
    std::int32_t row = 0;
    std::int32_t column = 0;
    friend bool operator==(const LatticePoint&, const LatticePoint&) = default;
};

/// Counted from 90° S and 180° W in tiles.
struct TileAddress {
    std::int32_t tile_row = 0;
    std::int32_t tile_column = 0;
    friend bool operator==(const TileAddress&, const TileAddress&) = default;
};

struct Lattice {
    int id = 1;  ///< 1 to 4095
    std::string name;
    std::int32_t west_arcsec = 0;   ///< −648000 to 647999
    std::int32_t south_arcsec = 0;  ///< −324000 to 324000
    std::int32_t spacing_arcsec = 900;
    std::int32_t columns = 0;
    std::int32_t rows = 0;
    int rank = 0;              ///< a query uses the highest rank that has data
    int tile_edge = 8;         ///< points along the side of a tile, 2 to 64
    std::int32_t reach_m = 0;  ///< maximum distance from a point with data at which a look-up
                               ///< answers
    friend bool operator==(const Lattice&, const Lattice&) = default;
};

/// The lattice that covers a box given in whole arc-seconds. `east` may be up to 360° east of
/// `west`; points on the north and east edges are included, and an east column that coincides with
/// the west one is dropped.
/// Errors (bad_input): a spacing outside 1 … 36000, latitudes outside −90 … 90 or out of order, an
/// east edge west of the west one. A box may be a line or a single point.
[[nodiscard]] Result<Lattice> lattice_over_box(std::int32_t west, std::int32_t south,
                                               std::int32_t east, std::int32_t north,
                                               std::int32_t spacing);

/// Must accept every lattice read from a file before it is used. Errors: bad_database.
[[nodiscard]] Result<void> check_lattice(const Lattice& lattice);

/// Whether the columns form a full circle, so that the last one's eastern neighbour is the first.
[[nodiscard]] bool wraps(const Lattice& lattice);

[[nodiscard]] LatLon position_of(const Lattice& lattice, LatticePoint point);
[[nodiscard]] LatLonE7 position_e7_of(const Lattice& lattice, LatticePoint point);

/// Row and column of the lattice's first point on the global grid of its spacing.
[[nodiscard]] LatticePoint global_offset(const Lattice& lattice);

[[nodiscard]] TileAddress tile_of(const Lattice& lattice, LatticePoint point);

/// Index of the point within its tile: row-major, southernmost row and westernmost column first.
[[nodiscard]] int slot_in_tile(const Lattice& lattice, LatticePoint point);

/// A point's tile and its slot there.
struct PlaceInTile {
    TileAddress tile;
    int slot = 0;
};

/// The tiles of a lattice, for many points: shared quantities are computed once.
class TileGrid {
  public:
    explicit TileGrid(const Lattice& lattice)
        : offset_(global_offset(lattice)), edge_(lattice.tile_edge) {
        const auto edge = static_cast<unsigned>(edge_);
        if (std::has_single_bit(edge)) shift_ = std::countr_zero(edge);
    }

    [[nodiscard]] PlaceInTile place_of(LatticePoint point) const {
        const int row = offset_.row + point.row;
        const int column = offset_.column + point.column;
        const TileAddress tile{in_tiles(row), in_tiles(column)};
        return {tile, (row - tile.tile_row * edge_) * edge_ + column - tile.tile_column * edge_};
    }

    /// The southernmost row, and the westernmost column, of the lattice's points in tiles of that
    /// row or column; outside the lattice if it has no such tile.
    [[nodiscard]] std::int32_t first_point_row(std::int32_t tile_row) const {
        return tile_row * edge_ - offset_.row;
    }
    [[nodiscard]] std::int64_t first_point_column(std::int64_t tile_column) const {
        return tile_column * edge_ - offset_.column;
    }

  private:
    /// The edge is almost always a power of two, and a shift is much faster than a division.
    [[nodiscard]] int in_tiles(int points) const {
        return shift_ >= 0 ? points >> shift_ : points / edge_;
    }

    LatticePoint offset_;
    int edge_;
    int shift_ = -1;
};

/// The lattice point of a slot of a tile; it may be outside the lattice.
[[nodiscard]] LatticePoint point_in_tile(const Lattice& lattice, TileAddress tile, int slot);

[[nodiscard]] bool contains(const Lattice& lattice, LatticePoint point);

/// First and last (inclusive) tile row and column that the lattice covers.
[[nodiscard]] TileAddress first_tile(const Lattice& lattice);
[[nodiscard]] TileAddress last_tile(const Lattice& lattice);

/// The largest row and column that a key can hold.
inline constexpr std::int32_t kLastTileColumn = (1 << 20) - 1;

/// Key of a tile in the table `tile`: lattice · 2^40 + tile row · 2^20 + tile column.
[[nodiscard]] std::int64_t tile_key(int lattice_id, TileAddress tile);
[[nodiscard]] int lattice_id_of_key(std::int64_t key);
[[nodiscard]] TileAddress tile_of_key(std::int64_t key);

/// The lattice cell that contains a position, and the offset from the cell's south-west corner:
/// fractions of 1/32768 of a spacing, 0 to 32767, rounded down. The cell's corners may be outside
/// the lattice; a wrapping lattice's columns are those of the first turn. At a pole, where all
/// longitudes are the same place, it is column 0 and fraction 0.
struct CellPosition {
    LatticePoint south_west;
    std::int32_t north_fraction = 0;
    std::int32_t east_fraction = 0;
};
inline constexpr std::int32_t kFractionOne = 32768;
[[nodiscard]] CellPosition cell_of(const Lattice& lattice, LatLonE7 position);

}  // namespace thirstline
