#include "tests/support/altered_files.hpp"

#include <gtest/gtest.h>

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
