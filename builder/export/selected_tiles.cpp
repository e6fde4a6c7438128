#include "builder/export/selected_tiles.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "builder/export/answering_points.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

/// All places that a point of the tile can answer for: its cells and those around it.
LatLonBox reach_of_tile(const Lattice& lattice, TileAddress address) {
    const LatticePoint first = point_in_tile(lattice, address, 0);
    return box_of_cells(lattice, {first.row - 1, first.column - 1}, lattice.tile_edge + 1);
}

bool holds_points_outside(const Lattice& lattice, TileAddress address, const Tile& tile) {
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
        if (tile.present[slot] != 0 &&
            !contains(lattice, point_in_tile(lattice, address, static_cast<int>(slot))))
            return true;
    }
    return false;
}

std::int64_t floored_into_circle(std::int64_t units) {
    const std::int64_t rest = units % kUnitsPerCircle;
    return rest < 0 ? rest + kUnitsPerCircle : rest;
}

/// An absent point has missing values only, as the format requires.
void forget(Tile& tile, const TileLayout& layout, int slot) {
    tile.present[static_cast<std::size_t>(slot)] = 0;
    for (const Layer& layer : layout.layers) {
        if (!is_known(layer.id) || layer.shape == LayerShape::tile_month) continue;
        const int count = layer.shape == LayerShape::point_month ? kMonths : 1;
        std::fill_n(tile.of(layer.id).begin() + slot * count, count, kMissingValue);
    }
}

}  // namespace

Result<SelectedTiles> SelectedTiles::make(Database& database, const SiteSelection& selection,
                                          PointsWanted wanted,
                                          const std::atomic<bool>& interrupted) {
    SelectedTiles tiles(database, selection, wanted, interrupted);
    if (selection.is_everything()) return tiles;
    if (!selection.places() && wanted == PointsWanted::of_the_selection) return tiles;
    tiles.listed_ =
        TRY(selection.places() ? points_that_answer(database, *selection.places())
                               : nearest_points_beyond(database, selection, interrupted));
    return tiles;
}

SelectedTiles::Rows SelectedTiles::tile_rows(const Lattice& lattice) const {
    Rows rows{first_tile(lattice).tile_row, last_tile(lattice).tile_row};
    if (selection_->is_everything()) return rows;
    Rows needed{rows.last + 1, rows.first - 1};
    const auto include = [&needed](int first, int last) {
        needed = {std::min(needed.first, first), std::max(needed.last, last)};
    };
    for (const auto& [key, slots] : listed_.tiles()) {
        if (lattice_id_of_key(key) == lattice.id)
            include(tile_of_key(key).tile_row, tile_of_key(key).tile_row);
    }
    if (const auto bounds = selection_->bounds(); bounds && !selection_->places()) {
        const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
        const std::int64_t from = lattice.south_arcsec * kUnitsPerArcsec;
        const auto row_at = [&](std::int64_t lat) {
            const std::int64_t row = (lat - from) / cell;
            return static_cast<std::int32_t>(std::clamp<std::int64_t>(row, 0, lattice.rows - 1));
        };
        include(tile_of(lattice, {row_at(bounds->south - 2 * cell), 0}).tile_row,
                tile_of(lattice, {row_at(bounds->north + 2 * cell), 0}).tile_row);
    }
    return {std::max(rows.first, needed.first), std::min(rows.last, needed.last)};
}

std::vector<SelectedTiles::Columns> SelectedTiles::tile_columns(const Lattice& lattice,
                                                                int tile_row) const {
    const Columns all{first_tile(lattice).tile_column, last_tile(lattice).tile_column};
    if (selection_->is_everything()) return {all};
    const auto bounds = selection_->bounds();
    if (!bounds && !selection_->places()) return {all};
    std::vector<Columns> needed;
    if (!selection_->places()) {
        const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
        const std::int64_t width = (lattice.columns - 1) * cell;
        const std::int64_t from =
            floored_into_circle(bounds->west - lattice.west_arcsec * kUnitsPerArcsec) - 2 * cell;
        const std::int64_t to = from + bounds->width + 4 * cell;
        // If the columns form a full circle, a box may extend over the last ones into the first.
        for (const std::int64_t turn : {-kUnitsPerCircle, std::int64_t{0}, kUnitsPerCircle}) {
            const std::int64_t first = std::max<std::int64_t>(from + turn, 0);
            const std::int64_t last = std::min(to + turn, width);
            if (first > last) continue;
            const auto tile_at = [&](std::int64_t east) {
                return tile_of(lattice, {0, static_cast<std::int32_t>(east / cell)}).tile_column;
            };
            needed.push_back({tile_at(first), tile_at(last)});
        }
    }
    const std::map<std::int64_t, std::vector<bool>>& listed = listed_.tiles();
    const auto first_listed = listed.lower_bound(tile_key(lattice.id, {tile_row, all.first}));
    const auto end_listed = listed.upper_bound(tile_key(lattice.id, {tile_row, all.last}));
    for (auto tile = first_listed; tile != end_listed; ++tile) {
        const int column = tile_of_key(tile->first).tile_column;
        needed.push_back({column, column});
    }
    std::ranges::sort(needed, {}, &Columns::first);
    std::vector<Columns> separate;
    for (const Columns& columns : needed) {
        if (separate.empty() || columns.first > separate.back().last + 1) {
            separate.push_back(columns);
        } else {
            separate.back().last = std::max(separate.back().last, columns.last);
        }
    }
    return separate;
}

Result<std::vector<SelectedTile>> SelectedTiles::row(const Lattice& lattice, int tile_row) const {
    if (interrupted_->load()) return fail(ErrorCode::interrupted, "interrupted");
    std::vector<SelectedTile> tiles;
    for (const Columns& columns : tile_columns(lattice, tile_row))
        TRY(add_tiles(tiles, lattice, tile_row, columns));
    return tiles;
}

Result<void> SelectedTiles::add_tiles(std::vector<SelectedTile>& tiles, const Lattice& lattice,
                                      int tile_row, Columns columns) const {
    auto scan = TRY(TileScan::over(*database_, tile_key(lattice.id, {tile_row, columns.first}),
                                   tile_key(lattice.id, {tile_row, columns.last})));
    while (true) {
        const auto found = TRY(scan.next());
        if (!found) return {};
        const auto& [key, codec, data] = *found;
        const TileAddress address = tile_of_key(key);
        const bool is_near = selection_->places()
                                 ? listed_.slots_of(key) != nullptr
                                 : listed_.slots_of(key) != nullptr ||
                                       selection_->touches(reach_of_tile(lattice, address));
        if (!is_near) continue;
        auto tile = decode_tile(codec, database_->layout(), data);
        if (!tile) {
            return fail(ErrorCode::bad_database, "tile " + std::to_string(key) + " of " +
                                                     database_->path() +
                                                     " is damaged: " + tile.error().message);
        }
        if (holds_points_outside(lattice, address, *tile)) {
            return fail(ErrorCode::bad_database,
                        "tile " + std::to_string(key) + " of " + database_->path() +
                            " is damaged: it holds a point outside its lattice");
        }
        SelectedTile selected{address, std::move(*tile), true, codec, {data.begin(), data.end()}};
        if (trim(selected, lattice)) tiles.push_back(std::move(selected));
    }
}

bool SelectedTiles::wants(const Lattice& lattice, LatticePoint point) const {
    if (wanted_ == PointsWanted::of_the_selection)
        return selection_->holds(position_e7_of(lattice, point));
    return selection_->reaches_into(box_of_cells(lattice, {point.row - 1, point.column - 1}, 2));
}

bool SelectedTiles::trim(SelectedTile& tile, const Lattice& lattice) const {
    const std::vector<bool>* listed = listed_.slots_of(tile_key(lattice.id, tile.address));
    const bool all_are_wanted =
        selection_->is_everything() ||
        (!selection_->places() && selection_->contains(reach_of_tile(lattice, tile.address)));
    bool any = false;
    for (int slot = 0; slot < database_->layout().slots(); ++slot) {
        if (tile.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
        const LatticePoint point = point_in_tile(lattice, tile.address, slot);
        const bool is_listed = listed != nullptr && (*listed)[static_cast<std::size_t>(slot)];
        const bool is_wanted =
            all_are_wanted || is_listed || (!selection_->places() && wants(lattice, point));
        any = any || is_wanted;
        if (is_wanted) continue;
        forget(tile.tile, database_->layout(), slot);
        tile.is_whole = false;
    }
    return any;
}

}  // namespace thirstline
