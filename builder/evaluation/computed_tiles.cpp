#include "builder/evaluation/computed_tiles.hpp"

#include <algorithm>
#include <functional>

#include "builder/pipeline/gradient_squares.hpp"
#include "builder/pipeline/tile_values.hpp"

namespace thirstline {

namespace {

/// The corners of the cell that are within the lattice.
std::vector<LatticePoint> corners_of_cell(const Lattice& lattice, LatLonE7 position) {
    const LatticePoint south_west = cell_of(lattice, position).south_west;
    std::vector<LatticePoint> corners;
    for (const int north : {0, 1}) {
        for (const int east : {0, 1}) {
            LatticePoint corner{south_west.row + north, south_west.column + east};
            if (wraps(lattice)) corner.column = (corner.column + lattice.columns) % lattice.columns;
            if (contains(lattice, corner)) corners.push_back(corner);
        }
    }
    return corners;
}

/// `is_wanted`: whether the slot's values must be correct. With stations, a point exists if it
/// exists in the background, so that it need not be computed to know that.
Tile tile_of_places(const TilePlaces& places, const PointContext& context, const TileLayout& layout,
                    const std::optional<LeftOut>& left_out, const Tile* background,
                    const std::function<bool(int slot)>& is_wanted) {
    const Lattice& lattice = context.recipe.lattice;
    Tile tile = Tile::empty(layout);
    GradientMean gradients;
    const auto record_of = [&](int slot) {
        const auto at = static_cast<std::size_t>(slot);
        const LatLon position = position_of(lattice, point_in_tile(lattice, places.address, slot));
        const PlaceInputs& place = *places.by_slot[at];
        return point_record(position, place, place.elevation_m,
                            places.sun_of_row[at / static_cast<std::size_t>(layout.edge)], context,
                            left_out);
    };
    const auto add_gradients = [&](int slot, const PointRecord& record) {
        const auto at = static_cast<std::size_t>(slot);
        const LatLon position = position_of(lattice, point_in_tile(lattice, places.address, slot));
        gradients.add(
            record_gradients(position, *places.by_slot[at],
                             places.sun_of_row[at / static_cast<std::size_t>(layout.edge)], context,
                             record, left_out));
    };
    for (int slot = 0; slot < layout.slots(); ++slot) {
        const auto at = static_cast<std::size_t>(slot);
        if (!places.by_slot[at]) continue;
        const bool is_sample =
            is_gradient_sample(lattice, point_in_tile(lattice, places.address, slot));
        const bool is_certain_to_exist = background != nullptr && background->present[at] != 0;
        if (is_certain_to_exist && !is_sample && !is_wanted(slot)) {
            tile.present[at] = 1;
            continue;
        }
        const PointRecord record = record_of(slot);
        if (!record.is_complete()) continue;
        store_record(tile, layout, slot, record, 0);
        if (is_sample) add_gradients(slot, record);
    }
    const auto first = std::find(tile.present.begin(), tile.present.end(), 1);
    if (gradients.is_empty() && first != tile.present.end()) {
        const auto slot = static_cast<int>(first - tile.present.begin());
        add_gradients(slot, record_of(slot));
    }
    gradients.store(tile, layout);
    return tile;
}

}  // namespace

std::set<std::int64_t> corner_tiles(const Lattice& lattice, LatLonE7 position) {
    std::set<std::int64_t> keys;
    for (const LatticePoint& corner : corners_of_cell(lattice, position))
        keys.insert(tile_key(lattice.id, tile_of(lattice, corner)));
    return keys;
}

Result<std::vector<TilePlaces>> tile_places(const Lattice& lattice, SourceGrids& sources,
                                            const Survey& survey,
                                            const std::set<std::int64_t>& tile_keys) {
    const int edge = lattice.tile_edge;
    std::vector<TilePlaces> tiles;
    std::vector<LatLon> positions;
    for (const std::int64_t key : tile_keys) {
        TilePlaces tile;
        tile.address = tile_of_key(key);
        tile.by_slot.resize(static_cast<std::size_t>(edge) * static_cast<std::size_t>(edge));
        for (int row = 0; row < edge; ++row) {
            const LatticePoint first = point_in_tile(lattice, tile.address, row * edge);
            tile.sun_of_row.push_back(
                monthly_sun(std::clamp(position_of(lattice, first).lat_deg, -90.0, 90.0)));
        }
        for (int slot = 0; slot < edge * edge; ++slot) {
            const LatticePoint point = point_in_tile(lattice, tile.address, slot);
            if (contains(lattice, point)) positions.push_back(position_of(lattice, point));
        }
        tiles.push_back(std::move(tile));
    }
    auto inputs = TRY(inputs_at(sources, positions));
    std::size_t next = 0;
    for (TilePlaces& tile : tiles) {
        for (int slot = 0; slot < edge * edge; ++slot) {
            if (!contains(lattice, point_in_tile(lattice, tile.address, slot))) continue;
            const PlaceInputs* pole = survey.pole(positions[next].lat_deg);
            auto& place = tile.by_slot[static_cast<std::size_t>(slot)];
            if (pole != nullptr) {
                place = *pole;
            } else {
                place = std::move(inputs[next]);
            }
            ++next;
        }
    }
    return tiles;
}

TileBackground tile_background(TilePlaces places, const PointContext& without_stations,
                               const TileLayout& layout) {
    auto tile = std::make_shared<Tile>(tile_of_places(
        places, without_stations, layout, std::nullopt, nullptr, [](int) { return true; }));
    return {std::move(places), std::move(tile)};
}

Result<std::shared_ptr<const Tile>> BackgroundTiles::tile(const Lattice& lattice,
                                                          TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    const auto found = backgrounds_.find(key);
    if (found != backgrounds_.end()) return found->second.tile;
    lacking_.insert(key);
    return std::shared_ptr<const Tile>{};
}

ComputedTiles::ComputedTiles(const TileBackgrounds& backgrounds, const PointContext& context,
                             const TileLayout& layout, const LeftOut& left_out,
                             std::optional<LatLonE7> corners_of)
    : backgrounds_(backgrounds),
      context_(context),
      layout_(layout),
      left_out_(left_out),
      corners_of_(corners_of) {}

Result<std::shared_ptr<const Tile>> ComputedTiles::tile(const Lattice& lattice,
                                                        TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    const auto found = backgrounds_.find(key);
    if (found == backgrounds_.end()) {
        lacking_.insert(key);
        return std::shared_ptr<const Tile>{};
    }
    std::shared_ptr<const Tile>& computed = computed_[key];
    if (computed) return computed;
    std::vector<LatticePoint> corners;
    if (corners_of_) corners = corners_of_cell(lattice, *corners_of_);
    const auto is_wanted = [&](int slot) {
        return !corners_of_ || std::find(corners.begin(), corners.end(),
                                         point_in_tile(lattice, address, slot)) != corners.end();
    };
    computed = std::make_shared<Tile>(tile_of_places(
        found->second.places, context_, layout_, left_out_, found->second.tile.get(), is_wanted));
    return computed;
}

}  // namespace thirstline
