#include "schema/geo/lattice.hpp"

#include <algorithm>

namespace thirstline {

namespace {

constexpr std::int32_t kSouthPoleArcsec = -90 * kArcsecPerDegree;
constexpr std::int32_t kAntimeridianArcsec = -180 * kArcsecPerDegree;
constexpr int kTileRowBits = 20;
constexpr int kTileColumnBits = 20;
constexpr std::int64_t kTileColumnMask = (std::int64_t{1} << kTileColumnBits) - 1;

// Positions are compared with lattices in units of 1/9e7 degree: 1e-7 degrees is 9 units and one
// arc-second 25,000, both integers.
constexpr std::int64_t kUnitsPerE7 = 9;
constexpr std::int64_t kUnitsPerArcsec = 25'000;
constexpr std::int64_t kUnitsPerCircle = kArcsecPerCircle * kUnitsPerArcsec;

struct Quotient {
    std::int64_t whole;
    std::int64_t rest;  // 0 to divisor − 1
};

Quotient floor_divided(std::int64_t dividend, std::int64_t divisor) {
    Quotient q{dividend / divisor, dividend % divisor};
    if (q.rest < 0) {
        q.rest += divisor;
        --q.whole;
    }
    return q;
}

std::int32_t fraction_of(std::int64_t rest, std::int64_t cell) {
    return static_cast<std::int32_t>(rest * kFractionOne / cell);
}

LatLonE7 e7_of_arcsec(std::int64_t lat_arcsec, std::int64_t lon_arcsec) {
    // 1e7/3600 e7 per arc-second, rounded half away from zero.
    const auto e7 = [](std::int64_t arcsec) {
        const std::int64_t twice = 2 * arcsec * kUnitsPerArcsec;
        return (twice + (twice < 0 ? -kUnitsPerE7 : kUnitsPerE7)) / (2 * kUnitsPerE7);
    };
    return {static_cast<std::int32_t>(e7(lat_arcsec)), normalised_lon_e7(e7(lon_arcsec))};
}

}  // namespace

Result<Lattice> lattice_over_box(std::int32_t west, std::int32_t south, std::int32_t east,
                                 std::int32_t north, std::int32_t spacing) {
    if (spacing < 1 || spacing > 10 * kArcsecPerDegree) {
        return fail(ErrorCode::bad_input,
                    "the spacing must be 1 to 36000 arc-seconds, not " + std::to_string(spacing));
    }
    if (south < kSouthPoleArcsec || north > -kSouthPoleArcsec || north < south) {
        return fail(ErrorCode::bad_input,
                    "the box must run from south to north within -90 and 90 degrees");
    }
    const std::int64_t width = static_cast<std::int64_t>(east) - west;
    if (width < 0 || width > kArcsecPerCircle) {
        return fail(ErrorCode::bad_input,
                    "the box must run from west to east over at most 360 degrees");
    }
    Lattice lattice;
    lattice.west_arcsec = static_cast<std::int32_t>(
        floor_divided(static_cast<std::int64_t>(west) - kAntimeridianArcsec, kArcsecPerCircle)
            .rest +
        kAntimeridianArcsec);
    lattice.south_arcsec = south;
    lattice.spacing_arcsec = spacing;
    lattice.rows = (north - south) / spacing + 1;
    const auto steps_east = static_cast<std::int32_t>(width / spacing);
    const bool closes = steps_east * static_cast<std::int64_t>(spacing) == kArcsecPerCircle;
    lattice.columns = closes ? steps_east : steps_east + 1;
    return lattice;
}

Result<void> check_lattice(const Lattice& lattice) {
    const auto within = [](std::int64_t value, std::int64_t least, std::int64_t greatest) {
        return value >= least && value <= greatest;
    };
    const std::int64_t spacing = lattice.spacing_arcsec;
    const bool sound = within(lattice.id, 1, 4095) && within(spacing, 1, 10 * kArcsecPerDegree) &&
                       within(lattice.west_arcsec, kAntimeridianArcsec, -kAntimeridianArcsec - 1) &&
                       within(lattice.south_arcsec, kSouthPoleArcsec, -kSouthPoleArcsec) &&
                       within(lattice.columns, 1, kArcsecPerCircle) &&
                       within(lattice.rows, 1, kArcsecPerCircle) &&
                       (lattice.columns - 1) * spacing < kArcsecPerCircle &&
                       lattice.south_arcsec + (lattice.rows - 1) * spacing <= -kSouthPoleArcsec &&
                       within(lattice.tile_edge, 2, 64) && within(lattice.reach_m, 0, 20'000'000) &&
                       last_tile(lattice).tile_column <= kTileColumnMask;
    if (!sound) {
        return fail(ErrorCode::bad_database,
                    "row " + std::to_string(lattice.id) + " of table lattice has invalid values");
    }
    return {};
}

bool wraps(const Lattice& lattice) {
    return static_cast<std::int64_t>(lattice.columns) * lattice.spacing_arcsec == kArcsecPerCircle;
}

LatLonE7 position_e7_of(const Lattice& lattice, LatticePoint point) {
    const std::int64_t spacing = lattice.spacing_arcsec;
    return e7_of_arcsec(lattice.south_arcsec + point.row * spacing,
                        lattice.west_arcsec + point.column * spacing);
}

LatLon position_of(const Lattice& lattice, LatticePoint point) {
    const double spacing = lattice.spacing_arcsec;
    return {(lattice.south_arcsec + point.row * spacing) / kArcsecPerDegree,
            normalised_lon_deg((lattice.west_arcsec + point.column * spacing) / kArcsecPerDegree)};
}

LatticePoint global_offset(const Lattice& lattice) {
    return {(lattice.south_arcsec - kSouthPoleArcsec) / lattice.spacing_arcsec,
            (lattice.west_arcsec - kAntimeridianArcsec) / lattice.spacing_arcsec};
}

TileAddress tile_of(const Lattice& lattice, LatticePoint point) {
    return TileGrid(lattice).place_of(point).tile;
}

int slot_in_tile(const Lattice& lattice, LatticePoint point) {
    return TileGrid(lattice).place_of(point).slot;
}

LatticePoint point_in_tile(const Lattice& lattice, TileAddress tile, int slot) {
    const LatticePoint offset = global_offset(lattice);
    return {tile.tile_row * lattice.tile_edge + slot / lattice.tile_edge - offset.row,
            tile.tile_column * lattice.tile_edge + slot % lattice.tile_edge - offset.column};
}

bool contains(const Lattice& lattice, LatticePoint point) {
    return point.row >= 0 && point.row < lattice.rows && point.column >= 0 &&
           point.column < lattice.columns;
}

TileAddress first_tile(const Lattice& lattice) {
    return tile_of(lattice, {0, 0});
}

TileAddress last_tile(const Lattice& lattice) {
    return tile_of(lattice, {lattice.rows - 1, lattice.columns - 1});
}

std::int64_t tile_key(int lattice_id, TileAddress tile) {
    return (((static_cast<std::int64_t>(lattice_id) << kTileRowBits) | tile.tile_row)
            << kTileColumnBits) |
           tile.tile_column;
}

int lattice_id_of_key(std::int64_t key) {
    return static_cast<int>(key >> (kTileRowBits + kTileColumnBits));
}

TileAddress tile_of_key(std::int64_t key) {
    return {static_cast<std::int32_t>((key >> kTileColumnBits) & kTileColumnMask),
            static_cast<std::int32_t>(key & kTileColumnMask)};
}

CellPosition cell_of(const Lattice& lattice, LatLonE7 position) {
    const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
    const Quotient north =
        floor_divided(position.lat_e7 * kUnitsPerE7 - lattice.south_arcsec * kUnitsPerArcsec, cell);
    // At a pole all longitudes are the same place; use that of the first column.
    const bool at_pole =
        position.lat_e7 == 90 * kE7PerDegree || position.lat_e7 == -90 * kE7PerDegree;
    const std::int64_t east_of_west_edge =
        at_pole
            ? 0
            : floor_divided(position.lon_e7 * kUnitsPerE7 - lattice.west_arcsec * kUnitsPerArcsec,
                            kUnitsPerCircle)
                  .rest;
    Quotient east = floor_divided(east_of_west_edge, cell);
    // Just west of the lattice is column −1, not the last columns of a full circle.
    if (east.whole >= lattice.columns && east_of_west_edge >= kUnitsPerCircle - cell) {
        east = {-1, east_of_west_edge - (kUnitsPerCircle - cell)};
    }
    return {{static_cast<std::int32_t>(north.whole), static_cast<std::int32_t>(east.whole)},
            fraction_of(north.rest, cell),
            fraction_of(east.rest, cell)};
}

}  // namespace thirstline
