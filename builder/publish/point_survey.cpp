#include "builder/publish/point_survey.hpp"

#include <algorithm>

#include "builder/export/export_job.hpp"

namespace thirstline {

namespace {

std::int64_t eastward(std::int64_t from, std::int64_t to) {
    const std::int64_t turn = (to - from) % kUnitsPerCircle;
    return turn < 0 ? turn + kUnitsPerCircle : turn;
}

/// The least of the methods by which a point's months came about.
std::uint16_t least_method(const Tile& tile, const Layer& layer, int slot) {
    std::int32_t least = 0;
    for (int month = 0; month < kMonths; ++month)
        least = std::max(least, value_at(tile, layer, slot, month));
    return static_cast<std::uint16_t>(least);
}

/// Adds the tile's points to the survey.
void add_tile(PointSurvey& survey, const Database& database, std::size_t lattice_number,
              const SelectedTile& selected) {
    const Lattice& lattice = database.lattices()[lattice_number];
    const Layer* method = database.layout().find(LayerId::method);
    SurveyedTile tile{static_cast<int>(lattice_number), selected.address, {}, 0};
    LatticePoint least{lattice.rows, lattice.columns};
    LatticePoint greatest{-1, -1};
    for (int slot = 0; slot < database.layout().slots(); ++slot) {
        if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
        const LatticePoint point = point_in_tile(lattice, selected.address, slot);
        least = {std::min(least.row, point.row), std::min(least.column, point.column)};
        greatest = {std::max(greatest.row, point.row), std::max(greatest.column, point.column)};
        ++tile.points;
        if (method != nullptr)
            ++survey.points_by_method[least_method(selected.tile, *method, slot)];
    }
    const LatLonBox corner = box_of_cells(lattice, least, 0);
    const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
    tile.box = {corner.south, corner.south + (greatest.row - least.row) * cell, corner.west,
                (greatest.column - least.column) * cell};
    survey.box = survey.points == 0 ? tile.box : united(survey.box, tile.box);
    survey.points += tile.points;
    survey.points_of_lattice[lattice_number] += tile.points;
    survey.tiles.push_back(tile);
}

}  // namespace

LatLonBox united(const LatLonBox& a, const LatLonBox& b) {
    const std::int64_t south = std::min(a.south, b.south);
    const std::int64_t north = std::max(a.north, b.north);
    // Either box may be the western one.
    const std::int64_t from_a = std::max(a.width, eastward(a.west, b.west) + b.width);
    const std::int64_t from_b = std::max(b.width, eastward(b.west, a.west) + a.width);
    const bool begins_with_a = from_a <= from_b;
    return {south, north, begins_with_a ? a.west : b.west,
            std::min(begins_with_a ? from_a : from_b, kUnitsPerCircle)};
}

Result<PointSurvey> surveyed_points(Database& database, const SelectedTiles& tiles) {
    PointSurvey survey;
    const std::vector<Lattice>& lattices = database.lattices();
    survey.points_of_lattice.resize(lattices.size());
    for (std::size_t number = 0; number < lattices.size(); ++number) {
        const SelectedTiles::Rows rows = tiles.tile_rows(lattices[number]);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto row = tiles.row(lattices[number], tile_row);
            if (!row) return fail(row.error());
            for (const SelectedTile& tile : *row) add_tile(survey, database, number, tile);
        }
    }
    if (survey.points > 0) return survey;
    return fail(ErrorCode::no_data, database.path() + " holds no point with data to publish");
}

}  // namespace thirstline
