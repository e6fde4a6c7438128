#include "builder/export/image_tiles.hpp"

#include <algorithm>
#include <utility>

#include "schema/tile_code/tile_encoder.hpp"

namespace thirstline {

namespace {

constexpr std::int32_t kPoleArcsec = 90 * 3600;

/// At a pole, where all longitudes are the same place, column 0 is used.
bool touches_pole(const Lattice& lattice) {
    const std::int64_t north =
        lattice.south_arcsec + std::int64_t{lattice.rows} * lattice.spacing_arcsec;
    return north >= kPoleArcsec || lattice.south_arcsec - lattice.spacing_arcsec <= -kPoleArcsec;
}

/// Copies one point's values of the layout's layers.
void copy_point(const TileLayout& layout, const Tile& from, int from_slot, Tile& to, int to_slot) {
    to.present[static_cast<std::size_t>(to_slot)] = 1;
    for (const Layer& layer : layout.layers) {
        const int each = layer.shape == LayerShape::point ? 1 : kMonths;
        const auto first = from.of(layer.id).begin() + std::ptrdiff_t{from_slot} * each;
        std::copy_n(first, each, to.of(layer.id).begin() + std::ptrdiff_t{to_slot} * each);
    }
}

}  // namespace

std::optional<std::size_t> image_part_of(LayerId id) {
    switch (id) {
        case LayerId::eto:
        case LayerId::rain:
            return 0;
        case LayerId::eto_se:
        case LayerId::rain_se:
            return 1;
        case LayerId::tmax:
        case LayerId::tmin:
            return 2;
        case LayerId::elevation:
            return 3;
        default:
            return std::nullopt;
    }
}

ImageLayouts image_layouts(const std::vector<Layer>& variables) {
    ImageLayouts layouts;
    for (TileLayout& layout : layouts) layout.edge = kImageTileEdge;
    for (const Layer& layer : variables)
        if (const auto part = image_part_of(layer.id)) layouts[*part].layers.push_back(layer);
    return layouts;
}

ImageLattice image_lattice_of(const Lattice& source, const LatticeWindow& window) {
    ImageLattice lattice{source, source, window.first_row, 0};
    Lattice& image = lattice.image;
    image.tile_edge = kImageTileEdge;
    image.south_arcsec += window.first_row * source.spacing_arcsec;
    image.rows = window.rows;
    // Columns keep their order, which breaks ties between equally near points.
    if (touches_pole(image) || window.first_column + window.columns > source.columns)
        return lattice;
    lattice.first_column = window.first_column;
    image.west_arcsec += window.first_column * source.spacing_arcsec;
    if (image.west_arcsec >= 180 * 3600) image.west_arcsec -= 360 * 3600;
    image.columns = window.columns;
    return lattice;
}

Result<void> ImageTiles::read_source_rows(int tile_row) {
    const Lattice& image = lattice_.image;
    const int south = point_in_tile(image, {tile_row, 0}, 0).row;
    const int first = std::max(south, 0) + lattice_.first_row;
    const int last = std::min(south + kImageTileEdge, image.rows) - 1 + lattice_.first_row;
    const int first_source_row = tile_of(lattice_.source, {first, 0}).tile_row;
    const int last_source_row = tile_of(lattice_.source, {last, 0}).tile_row;
    source_rows_.erase(source_rows_.begin(), source_rows_.lower_bound(first_source_row));
    for (int row = first_source_row; row <= last_source_row; ++row) {
        if (source_rows_.contains(row)) continue;
        auto tiles = TRY(job_.tiles.row(lattice_.source, row));
        std::map<int, Tile>& kept = source_rows_[row];
        for (SelectedTile& tile : tiles)
            kept.emplace(tile.address.tile_column, std::move(tile.tile));
    }
    return {};
}

const Tile* ImageTiles::source_tile(TileAddress address) const {
    const auto row = source_rows_.find(address.tile_row);
    if (row == source_rows_.end()) return nullptr;
    const auto tile = row->second.find(address.tile_column);
    return tile == row->second.end() ? nullptr : &tile->second;
}

std::array<ImageBytes, kImageParts> ImageTiles::coded(TileAddress address) const {
    std::array<Tile, kImageParts> tiles;
    for (std::size_t part = 0; part < kImageParts; ++part)
        tiles[part] = Tile::empty(layouts_[part]);
    bool holds_points = false;
    for (int slot = 0; slot < kImageTileEdge * kImageTileEdge; ++slot) {
        const LatticePoint point = point_in_tile(lattice_.image, address, slot);
        if (!contains(lattice_.image, point)) continue;
        const LatticePoint at{point.row + lattice_.first_row, point.column + lattice_.first_column};
        const Tile* from = source_tile(tile_of(lattice_.source, at));
        const int from_slot = slot_in_tile(lattice_.source, at);
        if (from == nullptr || from->present[static_cast<std::size_t>(from_slot)] == 0) continue;
        holds_points = true;
        for (std::size_t part = 0; part < kImageParts; ++part)
            copy_point(layouts_[part], *from, from_slot, tiles[part], slot);
    }
    std::array<ImageBytes, kImageParts> bytes;
    if (!holds_points) return bytes;
    for (std::size_t part = 0; part < kImageParts; ++part) {
        if (!layouts_[part].layers.empty())
            bytes[part] = predictively_coded(layouts_[part], tiles[part]);
    }
    return bytes;
}

Result<ImageTiles::Row> ImageTiles::row(int tile_row) {
    TRY(read_source_rows(tile_row));
    const int first = first_tile(lattice_.image).tile_column;
    const int last = last_tile(lattice_.image).tile_column;
    Row row;
    for (int column = first; column <= last; ++column) row.push_back(coded({tile_row, column}));
    return row;
}

}  // namespace thirstline
