#include "tests/support/small_worlds.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include "schema/database/database_writer.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline::test {

namespace {

std::int32_t random_value(const Layer& layer, Random& random) {
    if (layer.id == LayerId::method) {
        const std::array<Method, 3> used{
            Method{}, Method{.humidity = HumidityFrom::dew_point, .wind = WindFrom::nearby},
            Method{.equation = EtoEquation::hargreaves_scaled,
                   .correction = SiteCorrection::not_done_rain_unknown}};
        return method_code(used[static_cast<std::size_t>(random.between(0, 2))]);
    }
    if (layer.id == LayerId::period) return static_cast<std::int32_t>(random.between(0, 2));
    if (layer.id != LayerId::eto && random.chance(10)) return kMissingValue;
    return static_cast<std::int32_t>(random.between(least_value(layer), greatest_value(layer)));
}

bool at_pole(const Lattice& lattice, LatticePoint point) {
    return std::abs(position_e7_of(lattice, point).lat_e7) == 90 * kE7PerDegree;
}

void copy_point(World& world, const Lattice& lattice, LatticePoint from, LatticePoint to) {
    const Tile source = *world.tile_at(lattice, from);
    Tile& target = world.made_tile(lattice, to);
    const auto a = static_cast<std::size_t>(slot_in_tile(lattice, from));
    const auto b = static_cast<std::size_t>(slot_in_tile(lattice, to));
    target.present[b] = source.present[a];
    for (const Layer& layer : world.layout.layers) {
        const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
        if (layer.shape == LayerShape::tile_month) {
            target.of(layer.id) = source.of(layer.id);
            continue;
        }
        for (std::size_t i = 0; i < each; ++i)
            target.of(layer.id)[b * each + i] = source.of(layer.id)[a * each + i];
    }
}

void fill_random_point(World& world, const Lattice& lattice, LatticePoint point, Random& random) {
    Tile& tile = world.made_tile(lattice, point);
    const auto slot = static_cast<std::size_t>(slot_in_tile(lattice, point));
    tile.present[slot] = 1;
    for (const Layer& layer : world.layout.layers) {
        const std::size_t each = layer.shape == LayerShape::point_month ? kMonths : 1;
        if (layer.shape == LayerShape::tile_month) continue;
        for (std::size_t i = 0; i < each; ++i)
            tile.of(layer.id)[slot * each + i] = random_value(layer, random);
    }
}

std::vector<PostalPlace> merrow_codes() {
    return {{"AA", "1001", "Merrow Head", {441'000'000, -1'230'900'000}},
            {"AB", "1001", "Merrow Mouth", {-441'000'000, 1'799'999'999}},
            {"AA", "1002", "Upper Weir", {900'000'000, -1'800'000'000}}};
}

}  // namespace

TemporaryFolder::TemporaryFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "thirstline-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) std::abort();
    path_ = pattern;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::vector<std::string> TemporaryFolder::names() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(path_))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

std::string bytes_of_file(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

void write_bytes(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

std::optional<std::string> output_of(const std::string& command) {
    std::FILE* pipe = popen(command.c_str(), "r");
    if (pipe == nullptr) return std::nullopt;
    std::string output;
    std::array<char, 4096> buffer{};
    while (const std::size_t read = std::fread(buffer.data(), 1, buffer.size(), pipe))
        output.append(buffer.data(), read);
    if (pclose(pipe) != 0) return std::nullopt;
    return output;
}

const Tile* World::tile_at(const Lattice& lattice, LatticePoint point) const {
    const auto found = tiles.find(tile_key(lattice.id, tile_of(lattice, point)));
    return found == tiles.end() ? nullptr : found->second.get();
}

bool World::has_data(const Lattice& lattice, LatticePoint point) const {
    const Tile* tile = tile_at(lattice, point);
    return tile != nullptr &&
           tile->present[static_cast<std::size_t>(slot_in_tile(lattice, point))] != 0;
}

Tile& World::made_tile(const Lattice& lattice, LatticePoint point) {
    auto& tile = tiles[tile_key(lattice.id, tile_of(lattice, point))];
    if (!tile) tile = std::make_shared<const Tile>(Tile::empty(layout));
    return const_cast<Tile&>(*tile);  // not shared: see the header
}

Result<std::shared_ptr<const Tile>> WorldTiles::tile(const Lattice& lattice, TileAddress address) {
    const auto found = world_.tiles.find(tile_key(lattice.id, address));
    if (found == world_.tiles.end()) return nullptr;
    return found->second;
}

TileLayout layout_of(int edge, const std::vector<LayerId>& ids) {
    TileLayout layout;
    layout.edge = edge;
    for (const Layer& layer : all_layers()) {
        if (ids.empty() || std::find(ids.begin(), ids.end(), layer.id) != ids.end())
            layout.layers.push_back(layer);
    }
    return layout;
}

Tile random_tile(const TileLayout& layout, Random& random, int percent) {
    Tile tile = Tile::empty(layout);
    for (auto& present : tile.present) present = random.chance(percent) ? 1 : 0;
    for (const Layer& layer : layout.layers) {
        for (std::int32_t& value : tile.of(layer.id)) {
            value = random.chance(10) ? kMissingValue
                                      : static_cast<std::int32_t>(random.between(
                                            least_value(layer), greatest_value(layer)));
        }
    }
    return tile;
}

void fill_lattice(World& world, const Lattice& lattice, Random& random, int percent) {
    for (std::int32_t row = 0; row < lattice.rows; ++row) {
        for (std::int32_t column = 0; column < lattice.columns; ++column) {
            const LatticePoint point{row, column};
            if (at_pole(lattice, point) && column > 0) {
                if (world.has_data(lattice, {row, 0})) copy_point(world, lattice, {row, 0}, point);
            } else if (random.chance(percent)) {
                fill_random_point(world, lattice, point, random);
            }
        }
    }
    for (auto& [key, tile] : world.tiles) {
        if (lattice_id_of_key(key) != lattice.id) continue;
        for (const Layer& layer : world.layout.layers) {
            if (layer.shape != LayerShape::tile_month) continue;
            for (std::int32_t& value : const_cast<Tile&>(*tile).of(layer.id))
                value = random_value(layer, random);
        }
    }
}

Lattice lattice_of(std::int32_t west, std::int32_t south, std::int32_t spacing,
                   std::int32_t columns, std::int32_t rows, int edge) {
    Lattice lattice;
    lattice.name = "made up";
    lattice.west_arcsec = west;
    lattice.south_arcsec = south;
    lattice.spacing_arcsec = spacing;
    lattice.columns = columns;
    lattice.rows = rows;
    lattice.tile_edge = edge;
    return lattice;
}

Lattice random_lattice(Sort sort, int id, int edge, Random& random) {
    Lattice lattice;
    const auto small = [&random](std::int64_t most) {
        return static_cast<std::int32_t>(random.between(1, most));
    };
    if (sort == Sort::box || sort == Sort::crossing) {
        const std::int32_t spacing = small(7'200);
        const std::int32_t columns = small(25);
        const std::int32_t rows = small(25);
        const auto south = static_cast<std::int32_t>(
            random.between(-324'000, 324'000 - std::int64_t{rows - 1} * spacing));
        const std::int64_t width = std::int64_t{columns} * spacing;
        const auto west = static_cast<std::int32_t>(
            sort == Sort::crossing ? random.between(648'000 - width, 647'999)
                                   : random.between(-648'000, 648'000 - width));
        lattice = lattice_of(west, south, spacing, columns, rows, edge);
    } else {
        constexpr std::array<std::int32_t, 5> kSpacings{36'000, 32'400, 21'600, 18'000, 14'400};
        const std::int32_t spacing = kSpacings[static_cast<std::size_t>(random.between(0, 4))];
        const std::int32_t columns = kArcsecPerCircle / spacing;
        const auto west = static_cast<std::int32_t>(random.between(-648'000, 647'999));
        const std::int32_t rows =
            sort == Sort::whole ? 648'000 / spacing + 1 : small(648'000 / spacing);
        const auto south = static_cast<std::int32_t>(
            sort == Sort::whole
                ? -324'000
                : random.between(-324'000, 324'000 - std::int64_t{rows - 1} * spacing));
        lattice = lattice_of(west, south, spacing, columns, rows, edge);
    }
    lattice.id = id;
    lattice.reach_m = static_cast<std::int32_t>(random.between(0, 2'000'000));
    lattice.rank = static_cast<int>(random.between(-2, 2));
    return lattice;
}

std::vector<LatLonE7> positions_about(const Lattice& lattice, Random& random, int count) {
    const auto clamped_lat = [](std::int64_t lat_e7) {
        return static_cast<std::int32_t>(
            std::clamp<std::int64_t>(lat_e7, -90 * kE7PerDegree, 90 * kE7PerDegree));
    };
    const std::int64_t step_e7 = lattice.spacing_arcsec * kE7PerDegree / kArcsecPerDegree;
    std::vector<LatLonE7> positions;
    while (static_cast<int>(positions.size()) < count) {
        const LatticePoint point{
            static_cast<std::int32_t>(random.between(-2, lattice.rows + 1)),
            static_cast<std::int32_t>(random.between(-2, lattice.columns + 1))};
        const std::int64_t lat =
            (lattice.south_arcsec + std::int64_t{point.row} * lattice.spacing_arcsec) *
            kE7PerDegree / kArcsecPerDegree;
        const std::int64_t lon =
            (lattice.west_arcsec + std::int64_t{point.column} * lattice.spacing_arcsec) *
            kE7PerDegree / kArcsecPerDegree;
        const std::int64_t north = random.between(0, step_e7);
        const std::int64_t east = random.between(0, step_e7);
        switch (random.between(0, 7)) {
            case 0:
                positions.push_back({clamped_lat(lat), normalised_lon_e7(lon)});
                break;
            case 1:
                positions.push_back({clamped_lat(lat + north), normalised_lon_e7(lon)});
                break;
            case 2:
                positions.push_back({clamped_lat(lat), normalised_lon_e7(lon + east)});
                break;
            case 3:
                positions.push_back(
                    {clamped_lat(lat + north),
                     normalised_lon_e7(180 * kE7PerDegree + random.between(-1, 1))});
                break;
            case 4:
                positions.push_back({clamped_lat(random.chance(50) ? 900'000'000 : -900'000'000),
                                     normalised_lon_e7(lon + east)});
                break;
            default:
                positions.push_back({clamped_lat(lat + north), normalised_lon_e7(lon + east)});
        }
    }
    return positions;
}

Result<std::int64_t> write_world(const World& world, const std::string& path) {
    auto created = DatabaseWriter::create(path, world.layout);
    if (!created) return fail(created.error());
    DatabaseWriter& writer = **created;
    std::set<std::uint16_t> codes;
    Result<void> done;
    const auto unless_failed = [&done](auto&& call) {
        if (done) done = call();
    };
    for (const auto& row :
         std::vector<std::pair<std::string, std::string>>{{"title", "Merrow valley"},
                                                          {"region", "Merrow"},
                                                          {"publisher", "Merrow Water"},
                                                          {"notice", "Made up, for tests only."},
                                                          {"reference", "short"}}) {
        unless_failed([&] { return writer.add_metadata(row.first, row.second); });
    }
    for (const Lattice& lattice : world.lattices)
        unless_failed([&] { return writer.add_lattice(lattice); });
    for (const auto& [key, tile] : world.tiles) {
        const auto data = encode_tile(kCodecPlain, world.layout, *tile);
        if (!data) return fail(data.error());
        unless_failed([&, &key = key] { return writer.add_tile(key, kCodecPlain, *data); });
        for (const std::int32_t code : tile->of(LayerId::method)) {
            if (code != kMissingValue) codes.insert(static_cast<std::uint16_t>(code));
        }
    }
    for (const std::uint16_t code : codes) unless_failed([&] { return writer.add_method(code); });
    for (const int period : {0, 1, 2})
        unless_failed(
            [&] { return writer.add_period(period, std::to_string(1961 + 10 * period)); });
    unless_failed([&] {
        return writer.add_source({1,
                                  "gauges",
                                  "rain",
                                  "1991-2020",
                                  "CC0",
                                  "Merrow Water",
                                  "",
                                  240,
                                  {{"negative rain", 2}},
                                  {{"gauges.csv", std::string(64, 'a')}}});
    });
    for (const PostalPlace& place : merrow_codes())
        unless_failed([&] { return writer.add_postal_place(place); });
    if (!done) return fail(done.error());
    return writer.finish();
}

}  // namespace thirstline::test
