#include "tests/support/merrow_database.hpp"

#include <stdlib.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "schema/database/database_writer.hpp"
#include "schema/tile/layers.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline::test {
namespace {

template <class T>
T value_of(Result<T> result) {
    if (!result) throw std::runtime_error(result.error().message);
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

/// A folder for this process, removed with all its contents.
class TestFolder {
  public:
    TestFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "lookup-test-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the tests");
        path_ = name;
    }
    ~TestFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

const TestFolder& test_folder() {
    static const TestFolder folder;
    return folder;
}

TileLayout layout_of(const MerrowOptions& options) {
    TileLayout layout;
    layout.edge = 8;
    for (const Layer& layer : all_layers()) {
        const bool is_temperature = layer.id == LayerId::tmax || layer.id == LayerId::tmin;
        const bool is_error = layer.id == LayerId::eto_se || layer.id == LayerId::rain_se;
        if (is_temperature && !options.temperature) continue;
        if (is_error && !options.standard_errors) continue;
        if (layer.id == LayerId::tmax_gradient || layer.id == LayerId::tmin_gradient) continue;
        layout.layers.push_back(layer);
    }
    return layout;
}

Lattice merrow_lattice() {
    Lattice lattice;
    lattice.id = 1;
    lattice.name = "merrow";
    lattice.west_arcsec = -31 * kArcsecPerDegree;
    lattice.south_arcsec = 47 * kArcsecPerDegree;
    lattice.spacing_arcsec = 900;
    lattice.columns = 5;
    lattice.rows = 5;
    lattice.tile_edge = 8;
    lattice.reach_m = 40'000;
    return lattice;
}

/// Sets a layer's value if the layout has the layer.
void set(Tile& tile, LayerId id, std::size_t index, std::int32_t value) {
    auto& values = tile.of(id);
    if (!values.empty()) values[index] = value;
}

void fill_point(Tile& tile, int slot, LatticePoint point, const MerrowOptions& options) {
    tile.present[static_cast<std::size_t>(slot)] = 1;
    set(tile, LayerId::elevation, static_cast<std::size_t>(slot), 100 + 40 * point.row);
    set(tile, LayerId::period, static_cast<std::size_t>(slot), 1);
    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::size_t index = static_cast<std::size_t>(slot) * kMonths + m;
        const int eto = kEtoOfMonth[m] + kEtoStepOfRow * point.row;
        set(tile, LayerId::eto, index, options.no_eto_at_all ? 0 : eto);
        set(tile, LayerId::rain, index, kRainOfMonth[m] + kRainStepOfColumn * point.column);
        set(tile, LayerId::eto_se, index, 20);
        set(tile, LayerId::rain_se, index, 100);
        set(tile, LayerId::tmax, index, 20 * static_cast<std::int32_t>(m) + 5);
        set(tile, LayerId::tmin, index, -30);
        set(tile, LayerId::method, index, method_code(options.method));
    }
}

void add_tiles(DatabaseWriter& writer, const Lattice& lattice, const MerrowOptions& options) {
    const TileAddress first = first_tile(lattice);
    const TileAddress last = last_tile(lattice);
    for (int row = first.tile_row; row <= last.tile_row; ++row) {
        for (int column = first.tile_column; column <= last.tile_column; ++column) {
            const TileAddress address{row, column};
            Tile tile = Tile::empty(writer.layout());
            for (int slot = 0; slot < writer.layout().slots(); ++slot) {
                const LatticePoint point = point_in_tile(lattice, address, slot);
                if (!contains(lattice, point) || point == LatticePoint{4, 4}) continue;
                fill_point(tile, slot, point, options);
            }
            for (std::size_t m = 0; m < kMonths; ++m) {
                set(tile, LayerId::eto_gradient, m, 300);
                set(tile, LayerId::rain_gradient, m, 0);
            }
            const auto data = value_of(encode_tile(kNewestCodec, writer.layout(), tile));
            value_of(writer.add_tile(tile_key(lattice.id, address), kNewestCodec, data));
        }
    }
}

void add_places(DatabaseWriter& writer) {
    const LatLonE7 ford{472'500'000, -305'000'000};
    const LatLonE7 mill{474'000'000, -303'000'000};
    for (const PostalPlace& place : {
             PostalPlace{"XM", "4021", "Merrow Ford", ford},
             PostalPlace{"XM", "AB 1", "Upper Mill", mill},
             PostalPlace{"US", "04021", "Quarry Bend", mill},
             PostalPlace{"US", "97401", "Alder Steps", ford},
             PostalPlace{"MX", "97401", "Salto", mill},
             PostalPlace{"CA", "K1A", "", ford},
             PostalPlace{"XN", "9000", "Far Out", {0, 0}},
             PostalPlace{"XN", "97401 1000", "Far Side", mill},
         }) {
        value_of(writer.add_postal_place(place));
    }
}

void add_stations(DatabaseWriter& writer) {
    const std::string source = "Merrow station normals";
    for (const StationRecord& station : {
             StationRecord{"Merrow Ford",
                           "Merrow",
                           {472'000'000, -306'000'000},
                           112,
                           source,
                           "1991-2020",
                           "tmax, tmin, rain"},
             StationRecord{"Upper Mill",
                           "Merrow",
                           {474'500'000, -303'000'000},
                           260,
                           source,
                           "1991-2020",
                           "tmax, tmin"},
             StationRecord{"High Orrë",
                           "Merrow",
                           {478'000'000, -301'000'000},
                           940,
                           source,
                           "1981-2010",
                           "rain"},
         }) {
        value_of(writer.add_station(station));
    }
}

void add_texts(DatabaseWriter& writer, const MerrowOptions& options) {
    value_of(writer.add_period(1, "1991-2020"));
    value_of(writer.add_method(method_code(options.method)));
    for (const auto& [id, variable] : {std::pair{1, "tmax"}, std::pair{2, "tmin"}}) {
        Source source;
        source.id = id;
        source.name = "Merrow station normals";
        source.variable = variable;
        source.period = "1991-2020";
        source.licence = "CC BY 4.0";
        source.attribution = "Merrow Valley Weather Society";
        source.url = "https://example.org/merrow";
        value_of(writer.add_source(source));
    }
    for (const auto& [key, value] :
         {std::pair{"title", std::string("Upper Merrow water baseline")},
          std::pair{"region", std::string("Upper Merrow")},
          std::pair{"publisher", std::string("Upper Merrow Water District")},
          std::pair{"notice", std::string("Invented data, for tests only.")},
          std::pair{"reference", options.reference},
          std::pair{"site_correction", std::string("reference")},
          std::pair{"period", std::string("1991-2020")}, std::pair{"points", std::string("24")}}) {
        value_of(writer.add_metadata(key, value));
    }
}

}  // namespace

std::string path_in_test_folder(const std::string& name) {
    return (test_folder().path() / name).string();
}

std::string file_in_test_folder(const std::string& name, const std::string& content) {
    const std::string path = path_in_test_folder(name);
    std::ofstream(path, std::ios::binary) << content;
    return path;
}

std::string merrow_database(const MerrowOptions& options) {
    static int count = 0;
    const std::string path = path_in_test_folder("merrow-" + std::to_string(++count) + ".sqlite");
    const auto writer = value_of(DatabaseWriter::create(path, layout_of(options)));
    const Lattice lattice = merrow_lattice();
    value_of(writer->add_lattice(lattice));
    add_texts(*writer, options);
    add_places(*writer);
    if (options.stations) add_stations(*writer);
    add_tiles(*writer, lattice, options);
    value_of(writer->finish());
    return path;
}

std::unique_ptr<Database> open_merrow(const MerrowOptions& options) {
    return value_of(Database::open(merrow_database(options)));
}

}  // namespace thirstline::test
