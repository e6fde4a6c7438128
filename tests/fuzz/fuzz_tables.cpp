// Tables and archives as their publishers write them, and the lock file of downloads.
#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "builder/fetch/fetch_lock.hpp"
#include "builder/grids/grid.hpp"
#include "builder/inputs/archive_files.hpp"
#include "builder/inputs/table_rows.hpp"
#include "builder/recipe/recipe.hpp"
#include "builder/stations/station_set.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/gdal_file.hpp"
#include "tests/fuzz/memory_file.hpp"

namespace thirstline::fuzz {

namespace {

constexpr const char* kStations = "/vsimem/stations.csv";
constexpr const char* kPlaces = "/vsimem/places.csv";

constexpr const char* kRecipe = R"([baseline]
title = "Merrow"
period = "1991-2020"
[lattice]
spacing_arcsec = 900
bbox = [-39, 44, -37, 46]
[elevation]
path = "elevation.tif"
unit = "m"
[[grid]]
name = "ET"
variable = "eto"
path = "eto.tif"
unit = "mm/day"
period = "1991-2020"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"
reference = "short"
equation = "FAO-56"
[[stations]]
name = "stations"
path = "/vsimem/stations.csv"
period = "1991-2020"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"
)";

constexpr const char* kMonthColumns =
    R"(jan = "1", feb = "2", mar = "3", apr = "4", may = "5", jun = "6", jul = "7", aug = "8", sep = "9", oct = "10", nov = "11", dec = "12")";

/// Keys of [[stations]], one set for each value of a table's first byte.
std::vector<std::string> key_sets() {
    const std::string months = kMonthColumns;
    return {
        R"(layout = "long"
missing = [-99.9]
columns = { station = "station", name = "name", country = "country", lat = "lat", lon = "lon", elevation = "elevation", month = "month", tmax = "tmax", tmin = "tmin", rain = "rain" }
units = { tmax = "degC", tmin = "degC", rain = "mm" }
)",
        R"(layout = "long"
separator = ";"
decimal = ","
encoding = "latin1"
header = "name"
missing = [-9999, "NULO"]
zero = [-7777, "T"]
scale = { tmax = 0.1, rain = 0.01 }
offset = { tmax = -17.8 }
columns = { name = "name", lat = "lat", lon = "lon", elevation = "elevation", month = "month", tmax = "tmax", rain = "rain", years_tmax = "years", flag_rain = "flag" }
units = { tmax = "degC", rain = "in", elevation = "ft" }
flags = "ncei-1991"
)",
        R"(layout = "wide"
skip_rows = 1
where = { kind = "Normal", tmax = { element = "Maximum" }, rain = { element = ["Rain", "Precipitation"] } }
units = { tmax = "degC", rain = "mm" }
flags = { A = "standard", C = "short" }
columns = { name = "name", flag = "code", lat = "lat", lon = "lon", )" +
            months + " }\n",
        R"(layout = "wide"
variable = "tmin"
unit = "degC"
columns = { station = "id", )" +
            months + R"( }
positions = { path = "/vsimem/places.csv", key = { id = "ID" }, lat = "LAT", lon = "LON", elevation = "Z", name = "NAME", separator = "|" }
)",
        R"(layout = "long"
fixed_width = { id = "1-4", month = "5-6", tmax = "7-12" }
columns = { station = "id", month = "month", tmax = "tmax" }
units = { tmax = "degF" }
positions = { path = "/vsimem/places.csv", key = "id", lat = "lat", lon = "lon", fixed_width = { id = "1-4", lat = "5-12", lon = "13-21" }, where = { id = ["AB12", "CD34"] } }
)",
    };
}

std::vector<Recipe> recipes() {
    std::vector<Recipe> read;
    for (const std::string& keys : key_sets()) {
        const std::string text = kRecipe + keys;
        const std::vector<std::uint8_t> bytes(text.begin(), text.end());
        const MemoryFile file(bytes);
        auto recipe = read_recipe(file.path());
        require(recipe.has_value());
        read.push_back(std::move(*recipe));
    }
    return read;
}

/// Divides the bytes at the first such byte, which neither part has.
std::pair<Bytes, Bytes> divided(Bytes bytes, std::uint8_t at) {
    const auto found = std::find(bytes.begin(), bytes.end(), at);
    const auto first = static_cast<std::size_t>(found - bytes.begin());
    return {bytes.first(first), bytes.subspan(std::min(first + 1, bytes.size()))};
}

/// The bytes in pieces, so that lines lie across their ends.
ByteSource in_pieces(Bytes bytes) {
    return [bytes, at = std::size_t{0}](char* buffer,
                                        std::size_t capacity) mutable -> Result<std::size_t> {
        const std::size_t count = std::min({bytes.size() - at, capacity, std::size_t{13}});
        std::copy_n(bytes.begin() + static_cast<std::ptrdiff_t>(at), count, buffer);
        at += count;
        return count;
    };
}

std::vector<TableFormat> table_formats() {
    std::vector<TableFormat> formats(5);
    formats[1].header = "name";
    formats[1].separator = ';';
    formats[2].skip_rows = 3;
    formats[2].separator = kSeparatorOfHeader;
    formats[3].fixed = {{"id", 1, 4}, {"lat", 5, 12}, {"name", 14, 30}};
    formats[3].skip_rows = 1;
    formats[4].quotes = false;
    formats[4].separator = '\t';
    return formats;
}

}  // namespace

void station_table(Bytes bytes) {
    set_up_gdal_once();
    static const std::vector<Recipe> known = recipes();
    if (bytes.empty()) return;
    const auto [table, places] = divided(bytes.subspan(1), 0x1E);
    const GdalFile stations(kStations, table);
    const GdalFile second(kPlaces, places);
    const auto set = read_station_sources(known[bytes[0] % known.size()]);
    if (!set) return require(!set.error().message.empty());
    for (const Station& station : set->stations)
        require(station.position.lat_deg >= -90 && station.position.lat_deg <= 90);
}

void table_rows(Bytes bytes) {
    static const std::vector<TableFormat> formats = table_formats();
    static const TextRecoder recoder = *TextRecoder::open("latin1");
    if (bytes.empty()) return;
    auto table = open_table("a.csv", in_pieces(bytes.subspan(1)),
                            formats[bytes[0] % formats.size()], recoder, "merrow.toml:9");
    if (!table) return require(table.error().message.starts_with("merrow.toml:9: "));
    CsvRow row;
    std::int64_t line = 0;
    for (auto more = table->reader.next(row); more && *more; more = table->reader.next(row)) {
        require(row.line() > line);
        line = row.line();
    }
}

void archive(Bytes bytes) {
    set_up_gdal_once();
    constexpr const char* kPath = "/vsimem/tables";
    constexpr std::size_t kMaxBytes = std::size_t{1} << 20;
    const GdalFile file(kPath, bytes);
    auto reader = ArchiveReader::open({kPath, ""}, "merrow.toml:9");
    if (!reader) return require(reader.error().message.starts_with("merrow.toml:9: "));
    std::array<char, 4096> buffer{};
    std::size_t taken = 0;
    while (taken < kMaxBytes) {
        const auto name = reader->next();
        if (!name) return require(name.error().message.starts_with("merrow.toml:9: "));
        if (!*name) return;
        require(!(*name)->starts_with('.'));
        for (auto count = reader->read(buffer.data(), buffer.size()); count && *count > 0;
             count = reader->read(buffer.data(), buffer.size())) {
            taken += *count;
            if (taken >= kMaxBytes) return;
        }
    }
}

void lock_file(Bytes bytes) {
    const MemoryFile file(bytes);
    const auto lock = read_fetch_lock(file.path());
    if (!lock) return require(!lock.error().message.empty());
    for (const LockedFile& locked : lock->files)
        require(!locked.name.empty() && locked.bytes >= 0 && locked.sha256.size() == 64 &&
                lock->find(locked.name) != nullptr);
}

}  // namespace thirstline::fuzz
