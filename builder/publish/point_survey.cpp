#include "builder/publish/point_survey.hpp"

#include <algorithm>

#include "builder/export/export_job.hpp"

namespace thirstline {

namespace {

/// The least trusted method of a point's months.
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
    survey.points += tile.points;
    survey.points_of_lattice[lattice_number] += tile.points;
    survey.tiles.push_back(tile);
}

}  // namespace

LatLonBox box_around(const std::vector<SurveyedTile>& tiles) {
    constexpr std::int64_t kWestmost = -kUnitsPerCircle / 2;
    LatLonBox box = tiles.front().box;
    struct LongitudeRange {
        std::int64_t first;  ///< east of the antimeridian, less than the full circle
        std::int64_t last;
    };
    std::vector<LongitudeRange> ranges;
    for (const SurveyedTile& tile : tiles) {
        box.south = std::min(box.south, tile.box.south);
        box.north = std::max(box.north, tile.box.north);
        const std::int64_t first = eastward(kWestmost, tile.box.west);
        ranges.push_back({first, first + tile.box.width});
    }
    std::ranges::sort(ranges, {}, &LongitudeRange::first);
    // Without a crossing, unless a range itself crosses.
    std::int64_t first = ranges.front().first;
    std::int64_t reached = ranges.front().last;
    // The widest gap between ranges, and where it ends.
    std::int64_t widest = 0;
    std::int64_t after_widest = first;
    for (const LongitudeRange& range : ranges) {
        if (range.first - reached > widest) {
            widest = range.first - reached;
            after_widest = range.first;
        }
        reached = std::max(reached, range.last);
    }
    if (first + kUnitsPerCircle - reached > widest) {
        widest = first + kUnitsPerCircle - reached;
        after_widest = first;
    }
    if (reached >= kUnitsPerCircle) {
        first = 0;
        reached = kUnitsPerCircle;
    }
    const std::int64_t least_width = kUnitsPerCircle - widest;
    const bool crosses = 2 * least_width < reached - first;
    box.west = kWestmost + (crosses ? after_widest : first);
    box.width = crosses ? least_width : reached - first;
    return box;
}

Result<PointSurvey> surveyed_points(Database& database, const SelectedTiles& tiles) {
    PointSurvey survey;
    const std::vector<Lattice>& lattices = database.lattices();
    survey.points_of_lattice.resize(lattices.size());
    for (std::size_t number = 0; number < lattices.size(); ++number) {
        const SelectedTiles::Rows rows = tiles.tile_rows(lattices[number]);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto row = TRY(tiles.row(lattices[number], tile_row));
            for (const SelectedTile& tile : row) add_tile(survey, database, number, tile);
        }
    }
    if (survey.points > 0) {
        survey.box = box_around(survey.tiles);
        return survey;
    }
    return fail(ErrorCode::no_data, database.path() + " holds no point with data to publish");
}

}  // namespace thirstline
