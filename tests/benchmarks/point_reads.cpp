// Measures the time to read one lattice point's 24 values, in process, from a Thirstline file and
// from the same integers in other stores; all in one run, alternating, after checking that the
// answers are equal.
//
//     point_reads FILE.sqlite FOLDER
//
// FOLDER gets the other stores. "not decoded": every read is of a tile (a block) that was not read
// before; the file itself is in the system's cache. "cached": reads of a hundred blocks of 16 × 16
// pixels, all read before.
#include <gdal_priv.h>
#include <sqlite3.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>
#include <map>
#include <numeric>
#include <random>
#include <stdexcept>

#include "schema/database/database.hpp"
#include "tests/benchmarks/rival_stores.hpp"

namespace thirstline::benchmarks {
namespace {

constexpr int kPasses = 7;
constexpr std::size_t kCheckedPoints = 20'000;
constexpr std::size_t kCachedBlocks = 100;
constexpr std::size_t kCachedReads = 40'000;
constexpr int kSmallTilePixels = 16;
constexpr int kWidestTilePixels = 256;
constexpr std::int64_t kPlentyOfCache = 1LL << 30;

using Points = std::vector<LatticePoint>;
using ReadPoint = std::function<PointValues(LatticePoint)>;

std::unique_ptr<Database> opened(const std::string& path) {
    auto database = Database::open(path);
    require(database.has_value(), path + " cannot be opened");
    return std::move(*database);
}

PointValues values_in(const Tile& tile, int slot) {
    PointValues values{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        const int m = static_cast<int>(month);
        values[month] = static_cast<std::int16_t>(tile.month_value(LayerId::eto, slot, m));
        values[kMonths + month] =
            static_cast<std::int16_t>(tile.month_value(LayerId::rain, slot, m));
    }
    return values;
}

PointValues thirstline_values(Database& database, const Lattice& lattice, LatticePoint point) {
    const auto answer = database.answer(to_e7(position_of(lattice, point)));
    require(answer && answer->found, "a point is gone");
    PointValues values{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        values[month] = static_cast<std::int16_t>(answer->of(LayerId::eto)[month] / kAnswerScale);
        values[kMonths + month] =
            static_cast<std::int16_t>(answer->of(LayerId::rain)[month] / kAnswerScale);
    }
    return values;
}

StoredValues all_values(Database& database) {
    StoredValues stored;
    stored.lattice = database.lattices().front();
    const Lattice& lattice = stored.lattice;
    const TileAddress first = first_tile(lattice);
    const TileAddress last = last_tile(lattice);
    for (int row = first.tile_row; row <= last.tile_row; ++row) {
        for (int column = first.tile_column; column <= last.tile_column; ++column) {
            const auto tile = database.tile(lattice, {row, column});
            require(tile.has_value(), "a tile cannot be read");
            if (!*tile) continue;
            for (int slot = 0; slot < database.layout().slots(); ++slot) {
                if ((*tile)->present[static_cast<std::size_t>(slot)] == 0) continue;
                stored.points.push_back(point_in_tile(lattice, {row, column}, slot));
                stored.values.push_back(values_in(**tile, slot));
            }
        }
    }
    return stored;
}

double seconds_of(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// One point of each block of a TIFF with tiles of `edge` × `edge` pixels, in random order.
Points one_of_each_square(const StoredValues& stored, int edge, std::mt19937& random) {
    std::map<std::pair<int, int>, Points> squares;
    for (const LatticePoint& point : stored.points)
        squares[{(stored.lattice.rows - 1 - point.row) / edge, point.column / edge}].push_back(
            point);
    Points chosen;
    for (const auto& [square, points] : squares) chosen.push_back(points[random() % points.size()]);
    std::shuffle(chosen.begin(), chosen.end(), random);
    return chosen;
}

Points one_of_each_tile(const StoredValues& stored, std::mt19937& random) {
    std::map<std::int64_t, Points> tiles;
    for (const LatticePoint& point : stored.points)
        tiles[tile_key(stored.lattice.id, tile_of(stored.lattice, point))].push_back(point);
    Points chosen;
    for (const auto& [key, points] : tiles) chosen.push_back(points[random() % points.size()]);
    std::shuffle(chosen.begin(), chosen.end(), random);
    return chosen;
}

/// Random points, again and again, of a few blocks of 16 × 16 pixels.
Points of_few_blocks(const StoredValues& stored, std::mt19937& random) {
    std::map<std::pair<int, int>, Points> blocks;
    for (const LatticePoint& point : stored.points)
        blocks[{point.row / kSmallTilePixels, point.column / kSmallTilePixels}].push_back(point);
    Points near;
    for (const auto& [key, points] : blocks) {
        if (random() % blocks.size() < kCachedBlocks)
            near.insert(near.end(), points.begin(), points.end());
    }
    Points chosen;
    while (!near.empty() && chosen.size() < kCachedReads)
        chosen.push_back(near[random() % near.size()]);
    return chosen;
}

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
}

/// Something must be done with what is read.
std::int64_t sum_of(const PointValues& values) {
    return std::accumulate(values.begin(), values.end(), std::int64_t{0});
}

/// What one store needs, in microseconds a point, by pass.
struct Timed {
    std::string name;
    ReadPoint read;
    std::function<void()> before;  ///< of each pass, untimed
    const Points* points = nullptr;
    std::vector<double> microseconds;
};

void run_in_turns(std::vector<Timed>& all) {
    std::int64_t sum = 0;
    for (int pass = 0; pass < kPasses; ++pass) {
        for (Timed& timed : all) {
            timed.before();
            const double seconds = seconds_of([&] {
                for (const LatticePoint& point : *timed.points) sum += sum_of(timed.read(point));
            });
            timed.microseconds.push_back(1e6 * seconds / static_cast<double>(timed.points->size()));
        }
    }
    if (sum == 42) std::puts("");
}

void print(const char* title, const std::vector<Timed>& all) {
    std::printf("\n%s (median of %d passes, least to greatest)\n", title, kPasses);
    const double own = median(all.front().microseconds);
    for (const Timed& timed : all) {
        const auto [least, greatest] =
            std::minmax_element(timed.microseconds.begin(), timed.microseconds.end());
        const double middle = median(timed.microseconds);
        std::printf("  %-34s %9.3f us  (%.3f to %.3f)  ours / it %.3f   %zu reads\n",
                    timed.name.c_str(), middle, *least, *greatest, own / middle,
                    timed.points->size());
    }
}

struct Rival {
    std::string name;
    std::unique_ptr<RivalStore> store;
    int tile_pixels = 0;  ///< along the side of what is decoded at a time; 0: a point
};

std::vector<Rival> rivals_of(const StoredValues& stored, const std::string& folder) {
    std::vector<Rival> rivals;
    for (const int pixels : {kSmallTilePixels, kWidestTilePixels}) {
        const std::string side = std::to_string(pixels);
        rivals.push_back({"GeoTIFF, " + side + "-pixel tiles",
                          geotiff_store(stored, folder + "/" + side + ".tif", pixels), pixels});
    }
    rivals.push_back({"SQLite row by key", sqlite_rows(stored, folder + "/rows.sqlite")});
    rivals.push_back({"SQLite R*Tree and row", sqlite_rtree(stored, folder + "/rtree.sqlite")});
    rivals.push_back({"pread of 48 bytes", flat_file(stored, folder + "/flat.bin")});
    return rivals;
}

void check_answers(Database& database, const StoredValues& stored, std::vector<Rival>& rivals,
                   std::mt19937& random) {
    for (std::size_t n = 0; n < kCheckedPoints; ++n) {
        const std::size_t i = random() % stored.points.size();
        const LatticePoint point = stored.points[i];
        require(thirstline_values(database, stored.lattice, point) == stored.values[i],
                "our own answer differs");
        for (Rival& rival : rivals) {
            require(rival.store->values_at(point) == stored.values[i],
                    rival.name + " answers differently");
        }
    }
    std::printf("answers equal at %zu random points in all stores\n", kCheckedPoints);
}

/// Pages that a look-up takes from the file, without the memory map, beyond those of opening it.
void print_cold_bytes(const std::string& path, const StoredValues& stored, const Points& points) {
    constexpr std::size_t kLookUps = 200;
    std::vector<double> kilobytes;
    for (std::size_t i = 0; i < std::min(kLookUps, points.size()); ++i) {
        const auto database = opened(path);
        sqlite3* connection = database->connection();
        sqlite3_exec(connection, "PRAGMA mmap_size = 0", nullptr, nullptr, nullptr);
        int page_bytes = 0;
        sqlite3_exec(
            connection, "PRAGMA page_size",
            [](void* into, int, char** text, char**) {
                *static_cast<int*>(into) = std::atoi(text[0]);
                return 0;
            },
            &page_bytes, nullptr);
        int before = 0;
        int after = 0;
        int unused = 0;
        sqlite3_db_status(connection, SQLITE_DBSTATUS_CACHE_MISS, &before, &unused, 0);
        (void)thirstline_values(*database, stored.lattice, points[i]);
        sqlite3_db_status(connection, SQLITE_DBSTATUS_CACHE_MISS, &after, &unused, 0);
        kilobytes.push_back((after - before) * page_bytes / 1024.0);
    }
    std::printf(
        "\nbytes read from the file for one cold look-up of a point, the file open: "
        "median %.0f KiB, at most %.0f KiB\n",
        median(kilobytes), *std::max_element(kilobytes.begin(), kilobytes.end()));
}

void benchmark(const std::string& path, const std::string& folder) {
    GDALAllRegister();
    GDALSetCacheMax64(kPlentyOfCache);
    std::mt19937 random(20);
    auto database = opened(path);
    const StoredValues stored = all_values(*database);
    const double points = static_cast<double>(stored.points.size());
    std::printf("%zu points\n", stored.points.size());
    std::vector<Rival> rivals = rivals_of(stored, folder);
    check_answers(*database, stored, rivals, random);
    std::puts("\nbytes a point, 24 values (our own file holds more: see tile_size.py)");
    for (const Rival& rival : rivals)
        std::printf("  %-34s %9.2f\n", rival.name.c_str(),
                    static_cast<double>(rival.store->file_bytes()) / points);

    const Points apart = one_of_each_tile(stored, random);
    const Points of_small_blocks = one_of_each_square(stored, kSmallTilePixels, random);
    const Points of_large_blocks = one_of_each_square(stored, kWidestTilePixels, random);
    const Points near = of_few_blocks(stored, random);
    const auto own = [&](const char* name, const Points& of, const std::function<void()>& before) {
        return Timed{
            name,
            [&](LatticePoint point) { return thirstline_values(*database, stored.lattice, point); },
            before,
            &of,
            {}};
    };
    const auto reopen = [&] { database = opened(path); };
    const auto warm = [&] {
        for (const LatticePoint& point : near)
            (void)thirstline_values(*database, stored.lattice, point);
    };

    std::vector<Timed> cold{own("Thirstline, a lattice point", apart, reopen)};
    std::vector<Timed> cached{own("Thirstline, a lattice point", near, warm)};
    cold.push_back({"Thirstline, interpolated, all layers",
                    [&](LatticePoint point) {
                        LatLonE7 at = position_e7_of(stored.lattice, point);
                        at.lat_e7 += 1000;
                        at.lon_e7 += 1000;
                        const auto answer = database->answer(at);
                        require(answer && answer->found, "no answer");
                        return PointValues{static_cast<std::int16_t>(answer->of(LayerId::eto)[0])};
                    },
                    reopen,
                    &apart,
                    {}});
    cached.push_back(cold.back());
    cached.back().before = warm;
    cached.back().points = &near;
    for (Rival& rival : rivals) {
        const auto read = [&rival](LatticePoint point) { return rival.store->values_at(point); };
        cold.push_back({rival.name,
                        read,
                        [&rival] { rival.store->forget(); },
                        rival.tile_pixels == kWidestTilePixels  ? &of_large_blocks
                        : rival.tile_pixels == kSmallTilePixels ? &of_small_blocks
                                                                : &apart,
                        {}});
        cached.push_back({rival.name,
                          read,
                          [&rival, &near] {
                              for (const LatticePoint& point : near)
                                  (void)rival.store->values_at(point);
                          },
                          &near,
                          {}});
    }
    run_in_turns(cold);
    print("NOT DECODED BEFORE", cold);
    run_in_turns(cached);
    print("CACHED", cached);
    print_cold_bytes(path, stored, apart);
}

}  // namespace
}  // namespace thirstline::benchmarks

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fputs("usage: point_reads FILE.sqlite FOLDER\n", stderr);
        return 2;
    }
    try {
        thirstline::benchmarks::benchmark(argv[1], argv[2]);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "point_reads: %s\n", error.what());
        return 1;
    }
    return 0;
}
