#include "builder/publish/area_squares.hpp"

#include <algorithm>
#include <cmath>

#include "builder/export/image_tiles.hpp"

namespace thirstline {

namespace {

constexpr std::int64_t kAntimeridian = 180 * 3600 * kUnitsPerArcsec;
constexpr std::int32_t kGreatestEdge = kArcsecPerCircle / 4;
constexpr double kSlackM = 30.0;

/// Distance east of 180 W, less than the full circle.
std::int64_t east_of_antimeridian(std::int64_t lon) {
    const std::int64_t east = (lon + kAntimeridian) % kUnitsPerCircle;
    return east < 0 ? east + kUnitsPerCircle : east;
}

void add_squares(std::set<AreaSquare>& squares, const LatLonBox& box, std::int64_t edge) {
    const auto row_at = [edge](std::int64_t lat) {
        return static_cast<int>((std::clamp(lat, -kPole, kPole) + kPole) / edge);
    };
    const auto add_columns = [&](std::int64_t first_east, std::int64_t last_east) {
        for (int row = row_at(box.south); row <= row_at(box.north); ++row) {
            for (std::int64_t column = first_east / edge; column <= last_east / edge; ++column)
                squares.insert({row, static_cast<int>(column)});
        }
    };
    const std::int64_t west = east_of_antimeridian(box.west);
    const std::int64_t east = west + box.width;
    add_columns(west, std::min(east, kUnitsPerCircle - 1));
    if (east >= kUnitsPerCircle)
        add_columns(0, std::min(east - kUnitsPerCircle, kUnitsPerCircle - 1));
}

}  // namespace

AreaSquare square_of(LatLonE7 position, std::int32_t edge_arcsec) {
    const std::int64_t edge = edge_arcsec * kUnitsPerArcsec;
    return {static_cast<int>((position.lat_e7 * kUnitsPerE7 + kPole) / edge),
            static_cast<int>(east_of_antimeridian(position.lon_e7 * kUnitsPerE7) / edge)};
}

LatLonBox box_of_square(AreaSquare square, std::int32_t edge_arcsec) {
    const std::int64_t edge = edge_arcsec * kUnitsPerArcsec;
    const std::int64_t south = square.row * edge - kPole;
    const std::int64_t east = square.column * edge;
    return {south, std::min(south + edge, kPole), east - kAntimeridian,
            std::min(edge, kUnitsPerCircle - east)};
}

std::set<AreaSquare> squares_answered(const PointSurvey& survey,
                                      const std::vector<Lattice>& lattices,
                                      std::int32_t edge_arcsec) {
    std::set<AreaSquare> squares;
    const std::int64_t edge = edge_arcsec * kUnitsPerArcsec;
    for (const SurveyedTile& tile : survey.tiles) {
        const Lattice& lattice = lattices[static_cast<std::size_t>(tile.lattice)];
        const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
        LatLonBox cells = tile.box;
        cells.south -= cell;
        cells.north += cell;
        cells.west -= cell;
        cells.width = std::min(cells.width + 2 * cell, kUnitsPerCircle);
        add_squares(squares, cells, edge);
        add_squares(squares, widened(tile.box, lattice.reach_m + kSlackM), edge);
        // At a pole all longitudes are the same place.
        if (cells.north > kPole || cells.south < -kPole) {
            cells.width = kUnitsPerCircle;
            add_squares(squares, cells, edge);
        }
    }
    return squares;
}

std::int32_t edge_arcsec_for(std::int32_t spacing_arcsec, double bytes_of_a_point,
                             double wanted_bytes) {
    const double points_along = std::sqrt(wanted_bytes / std::max(bytes_of_a_point, 0.1));
    const double tiles_along = std::max(1.0, std::round(points_along / kImageTileEdge));
    const double edge = tiles_along * kImageTileEdge * spacing_arcsec;
    return static_cast<std::int32_t>(std::min(edge, double{kGreatestEdge}));
}

}  // namespace thirstline
