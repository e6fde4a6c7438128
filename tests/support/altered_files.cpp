#include "tests/support/altered_files.hpp"

#include <gtest/gtest.h>

#include <array>
#include <string_view>
#include <vector>

#include "schema/database/checksum.hpp"
#include "schema/database/content_hash.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline::test {

namespace {

SqliteConnection opened(const std::string& path) {
    sqlite3* raw = nullptr;
    EXPECT_EQ(sqlite3_open(path.c_str(), &raw), SQLITE_OK);
    return SqliteConnection(raw);
}

void run(sqlite3* connection, const std::string& sql) {
    char* message = nullptr;
    EXPECT_EQ(sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, &message), SQLITE_OK)
        << sql << ": " << (message != nullptr ? message : "");
    sqlite3_free(message);
}

}  // namespace

void run_on_file(const std::string& path, const std::string& sql) {
    const SqliteConnection connection = opened(path);
    run(connection.get(), sql);
}

void extend_tiles(const std::string& path, int more_bytes) {
    const SqliteConnection connection = opened(path);
    struct Row {
        std::int64_t key, gap;
        int codec;
        std::vector<std::uint8_t> data;
    };
    std::vector<Row> rows;
    auto select = SqliteStatement::prepare(connection.get(),
                                           "SELECT tile_key, gap, codec, data FROM tile", "select");
    ASSERT_TRUE(select.has_value());
    while (*select->step()) {
        const auto data = select->blob(3);
        rows.push_back({select->integer(0),
                        select->integer(1),
                        static_cast<int>(select->integer(2)),
                        {data.begin(), data.end()}});
        rows.back().data.insert(rows.back().data.end(), static_cast<std::size_t>(more_bytes), 0x5A);
    }
    auto update = SqliteStatement::prepare(
        connection.get(), "UPDATE tile SET data = ?2, crc32 = ?3 WHERE tile_key = ?1", "update");
    ASSERT_TRUE(update.has_value());
    for (const Row& row : rows) {
        update->bind(1, row.key);
        update->bind(2, std::span<const std::uint8_t>(row.data));
        update->bind(3, std::int64_t{tile_crc32(row.key, row.gap, row.codec, row.data)});
        ASSERT_TRUE(update->step().has_value());
    }
}

void reseal_rows(const std::string& path) {
    const SqliteConnection connection = opened(path);
    std::string updates;
    auto postal = SqliteStatement::prepare(
        connection.get(), "SELECT code, country, place, lat_e7, lon_e7 FROM postal", "select");
    ASSERT_TRUE(postal.has_value());
    while (*postal->step()) {
        const LatLonE7 position{static_cast<std::int32_t>(postal->integer(3)),
                                static_cast<std::int32_t>(postal->integer(4))};
        const auto crc = postal_crc32(postal->text(0), postal->text(1), postal->text(2), position);
        updates += "UPDATE postal SET crc32 = " + std::to_string(crc) + " WHERE code = '" +
                   postal->text(0) + "' AND country = '" + postal->text(1) + "';";
    }
    auto station = SqliteStatement::prepare(connection.get(),
                                            "SELECT station_id, name, country, source, period, "
                                            "variables, lat_e7, lon_e7, elevation_m FROM station",
                                            "select");
    ASSERT_TRUE(station.has_value());
    while (*station->step()) {
        const std::array<std::string, 5> texts{station->text(1), station->text(2), station->text(3),
                                               station->text(4), station->text(5)};
        const std::array<std::string_view, 5> views{texts[0], texts[1], texts[2], texts[3],
                                                    texts[4]};
        const auto crc = station_crc32(views,
                                       {static_cast<std::int32_t>(station->integer(6)),
                                        static_cast<std::int32_t>(station->integer(7))},
                                       static_cast<std::int32_t>(station->integer(8)));
        updates += "UPDATE station SET crc32 = " + std::to_string(crc) +
                   " WHERE station_id = " + station->text(0) + ";";
    }
    run(connection.get(), "BEGIN;" + updates + "COMMIT");
}

void seal(const std::string& path) {
    const SqliteConnection connection = opened(path);
    const auto hash = content_sha256(connection.get(), path);
    ASSERT_TRUE(hash.has_value()) << hash.error().message;
    run(connection.get(),
        "UPDATE metadata SET value = '" + *hash + "' WHERE key = 'content_sha256'");
    const auto crc = head_crc32(connection.get(), path);
    ASSERT_TRUE(crc.has_value()) << crc.error().message;
    run(connection.get(),
        "UPDATE metadata SET value = '" + std::to_string(*crc) + "' WHERE key = 'head_crc32'");
}

}  // namespace thirstline::test
