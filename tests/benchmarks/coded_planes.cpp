// Sizes of Thirstline files for chosen layers and tile edges: the numbers of a database, or of
// planes in a raw file, are written to a new file with SQLite's overhead, with the page size that
// the library's writer chooses. For tile_size.py.
//
//     coded_planes rewrite FILE.sqlite LAYERS EDGE CODEC OUT.sqlite
//     coded_planes planes FILE.raw COLUMNS ROWS LAYERS EDGE CODEC OUT.sqlite
//     coded_planes export FILE.sqlite LAYERS OUT.raw
//
// LAYERS are names separated by commas. CODEC 1 is the newest, or codec 0 in a tile where that is
// smaller. A raw file has, plane after plane and row after row from the north-west, integers of
// 16 bits, little-endian, missing as in codec 0; twelve planes for a layer of shape point_month.
// With `planes` each layer has one plane, signed, and the spacing is 1/24 degree. The first two
// print "points tiles tile_bytes file_bytes", the third "columns rows".
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>

#include "schema/database/database.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline::benchmarks {
namespace {

using Tiles = std::map<std::int64_t, Tile>;

template <class T>
T required(Result<T> result) {
    if (!result) throw std::runtime_error(result.error().message);
    return std::move(*result);
}
void required(const Result<void>& result) {
    if (!result) throw std::runtime_error(result.error().message);
}

bool is_named(const std::string& names, const Layer& layer) {
    return ("," + names + ",").find("," + std::string(layer.name) + ",") != std::string::npos;
}

std::vector<Layer> chosen_layers(const std::vector<Layer>& layers, const std::string& names) {
    std::vector<Layer> chosen;
    for (const Layer& layer : layers) {
        if (is_named(names, layer)) chosen.push_back(layer);
    }
    if (chosen.empty()) throw std::runtime_error("none of the layers " + names + " is there");
    return chosen;
}

/// What `visit` is told of every tile of the first lattice.
template <class Visit>
void for_each_tile(Database& database, const Visit& visit) {
    auto rows = required(SqliteStatement::prepare(
        database.connection(), "SELECT tile_key, codec, data FROM tile ORDER BY tile_key",
        "reading " + database.path()));
    while (required(rows.step())) {
        if (lattice_id_of_key(rows.integer(0)) != database.lattices().front().id) continue;
        visit(tile_of_key(rows.integer(0)), required(decode_tile(static_cast<int>(rows.integer(1)),
                                                                 database.layout(), rows.blob(2))));
    }
}

/// A point's place among tiles of another edge.
std::pair<Tile*, std::size_t> place_of(Tiles& tiles, const TileLayout& layout,
                                       const Lattice& lattice, LatticePoint point) {
    const auto [at, made] =
        tiles.try_emplace(tile_key(lattice.id, tile_of(lattice, point)), Tile::empty(layout));
    const int slot = slot_in_tile(lattice, point);
    at->second.present[static_cast<std::size_t>(slot)] = 1;
    return {&at->second, static_cast<std::size_t>(slot)};
}

/// The same points in tiles of another edge. A gradient over a tile is then that of one of the
/// tiles that it takes the place of.
Tiles retiled(Database& database, const TileLayout& layout, const Lattice& lattice) {
    Tiles tiles;
    const Lattice& own = database.lattices().front();
    for_each_tile(database, [&](TileAddress address, const Tile& from) {
        for (std::size_t slot = 0; slot < from.present.size(); ++slot) {
            if (from.present[slot] == 0) continue;
            const LatticePoint point = point_in_tile(own, address, static_cast<int>(slot));
            const auto [tile, to] = place_of(tiles, layout, lattice, point);
            for (const Layer& layer : layout.layers) {
                const auto& source = from.of(layer.id);
                auto& target = tile->of(layer.id);
                if (layer.shape == LayerShape::tile_month) {
                    target = source;
                    continue;
                }
                const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
                for (std::size_t month = 0; month < each; ++month)
                    target[to * each + month] = source[slot * each + month];
            }
        }
    });
    return tiles;
}

std::vector<std::int16_t> raw_numbers(const std::string& path, std::size_t count) {
    std::vector<std::int16_t> numbers(count);
    std::ifstream file(path, std::ios::binary);
    file.read(reinterpret_cast<char*>(numbers.data()),
              static_cast<std::streamsize>(count * sizeof(std::int16_t)));
    if (!file) throw std::runtime_error(path + " is shorter than its planes");
    return numbers;
}

Tiles tiles_of_planes(const std::string& path, const TileLayout& layout, const Lattice& lattice) {
    Tiles tiles;
    const auto rows = static_cast<std::size_t>(lattice.rows);
    const auto columns = static_cast<std::size_t>(lattice.columns);
    const auto numbers = raw_numbers(path, rows * columns * layout.layers.size());
    for (std::size_t plane = 0; plane < layout.layers.size(); ++plane) {
        for (std::size_t at = 0; at < rows * columns; ++at) {
            const std::int16_t number = numbers[plane * rows * columns + at];
            if (number == std::numeric_limits<std::int16_t>::min()) continue;
            const LatticePoint point{static_cast<std::int32_t>(rows - 1 - at / columns),
                                     static_cast<std::int32_t>(at % columns)};
            const auto [tile, slot] = place_of(tiles, layout, lattice, point);
            tile->of(layout.layers[plane].id)[slot] = number;
        }
    }
    return tiles;
}

TileBytes coded(int codec, const TileLayout& layout, const Tile& tile) {
    TileBytes bytes = codec == kCodecPlain
                          ? TileBytes{codec, required(encode_tile(codec, layout, tile))}
                          : required(encode_tile_compactly(layout, tile));
    if (required(decode_tile(bytes.codec, layout, bytes.data)) != tile)
        throw std::runtime_error("a tile does not decode to what was encoded");
    return bytes;
}

/// `declared` is what the file says of its layers.
void write_tiles(const Tiles& tiles, const TileLayout& layout, const TileLayout& declared,
                 const Lattice& lattice, int codec, const std::string& path) {
    std::remove(path.c_str());
    const auto writer = required(DatabaseWriter::create(path, declared));
    required(writer->add_lattice(lattice));
    std::size_t points = 0, tile_bytes = 0;
    for (const auto& [key, tile] : tiles) {
        const TileBytes bytes = coded(codec, layout, tile);
        required(writer->add_tile(key, bytes.codec, bytes.data));
        points += static_cast<std::size_t>(std::count(tile.present.begin(), tile.present.end(), 1));
        tile_bytes += bytes.data.size();
    }
    const std::int64_t file_bytes = required(writer->finish());
    std::printf("%zu %zu %zu %lld\n", points, tiles.size(), tile_bytes,
                static_cast<long long>(file_bytes));
}

void rewrite(const std::string& path, const std::string& names, int edge, int codec,
             const std::string& out) {
    const auto database = required(Database::open(path));
    const TileLayout layout{edge, chosen_layers(database->layout().layers, names)};
    Lattice lattice = database->lattices().front();
    lattice.tile_edge = edge;
    TileLayout declared = layout;  // a file without eto does not open
    if (declared.layers.front().id != LayerId::eto)
        declared.layers.insert(declared.layers.begin(), *layer_by_id(1));
    write_tiles(retiled(*database, layout, lattice), layout, declared, lattice, codec, out);
}

void code_planes(const std::string& path, int columns, int rows, const std::string& names, int edge,
                 int codec, const std::string& out) {
    TileLayout layout{edge, chosen_layers(all_layers(), names)};
    for (Layer& layer : layout.layers) {
        layer.shape = LayerShape::point;
        layer.is_signed = true;
    }
    constexpr std::int32_t kSpacingArcsec = kArcsecPerDegree / 24;
    Lattice lattice;
    lattice.name = "planes";
    lattice.west_arcsec = -125 * kArcsecPerDegree;
    lattice.south_arcsec = 24 * kArcsecPerDegree;
    lattice.spacing_arcsec = kSpacingArcsec;
    lattice.columns = columns;
    lattice.rows = rows;
    lattice.tile_edge = edge;
    // The declared layers are those that a file must have: it is for its size, not for reading.
    write_tiles(tiles_of_planes(path, layout, lattice), layout, {edge, {*layer_by_id(1)}}, lattice,
                codec, out);
}

void export_planes(const std::string& path, const std::string& names, const std::string& out) {
    const auto database = required(Database::open(path));
    const Lattice& lattice = database->lattices().front();
    const auto rows = static_cast<std::size_t>(lattice.rows);
    const auto columns = static_cast<std::size_t>(lattice.columns);
    std::vector<std::vector<std::uint16_t>> planes;
    const auto layers = chosen_layers(database->layout().layers, names);
    for (const Layer& layer : layers) {
        if (layer.shape == LayerShape::tile_month)
            throw std::runtime_error(std::string(layer.name) + " has no planes");
        planes.resize(
            planes.size() + (layer.shape == LayerShape::point ? 1 : kMonths),
            std::vector<std::uint16_t>(rows * columns, layer.is_signed ? 0x8000 : 0xFFFF));
    }
    for_each_tile(*database, [&](TileAddress address, const Tile& tile) {
        for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
            if (tile.present[slot] == 0) continue;
            const LatticePoint point = point_in_tile(lattice, address, static_cast<int>(slot));
            const std::size_t at = (rows - 1 - static_cast<std::size_t>(point.row)) * columns +
                                   static_cast<std::size_t>(point.column);
            std::size_t plane = 0;
            for (const Layer& layer : layers) {
                const std::size_t each = layer.shape == LayerShape::point ? 1 : kMonths;
                for (std::size_t month = 0; month < each; ++month, ++plane) {
                    const std::int32_t value = tile.of(layer.id)[slot * each + month];
                    if (value != kMissingValue)
                        planes[plane][at] = static_cast<std::uint16_t>(value);
                }
            }
        }
    });
    std::ofstream file(out, std::ios::binary);
    for (const auto& plane : planes)
        file.write(reinterpret_cast<const char*>(plane.data()),
                   static_cast<std::streamsize>(plane.size() * sizeof(std::uint16_t)));
    if (!file) throw std::runtime_error(out + " cannot be written");
    std::printf("%zu %zu\n", columns, rows);
}

int run(const std::vector<std::string>& arguments) {
    const auto number = [&](std::size_t i) { return std::atoi(arguments[i].c_str()); };
    const std::string what = arguments.empty() ? "" : arguments[0];
    if (what == "rewrite" && arguments.size() == 6)
        rewrite(arguments[1], arguments[2], number(3), number(4), arguments[5]);
    else if (what == "planes" && arguments.size() == 8)
        code_planes(arguments[1], number(2), number(3), arguments[4], number(5), number(6),
                    arguments[7]);
    else if (what == "export" && arguments.size() == 4)
        export_planes(arguments[1], arguments[2], arguments[3]);
    else
        throw std::runtime_error("usage: see the head of coded_planes.cpp");
    return 0;
}

}  // namespace
}  // namespace thirstline::benchmarks

int main(int argc, char** argv) {
    try {
        return thirstline::benchmarks::run({argv + 1, argv + argc});
    } catch (const std::exception& error) {
        std::fprintf(stderr, "coded_planes: %s\n", error.what());
        return 1;
    }
}
