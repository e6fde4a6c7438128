// A valid file, changed by SQL or row by row, with recomputed checksums: opens, describes, verifies
// and queries it. Also tables of sites for a valid file.
#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/batch/batch_input.hpp"
#include "lookup/batch/batch_run.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/content_hash.hpp"
#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"
#include "schema/database/postal_codes.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/memory_file.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/merrow_database.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::fuzz {

namespace {

/// Takes numbers from the front; zeros after the last byte.
class Reader {
  public:
    explicit Reader(Bytes bytes) : bytes_(bytes) {}
    [[nodiscard]] bool is_empty() const { return bytes_.empty(); }
    std::uint64_t number(std::size_t width) {
        std::uint64_t value = 0;
        for (const std::uint8_t byte : taken(width)) value = value << 8U | byte;
        return value;
    }
    Bytes taken(std::size_t count) {
        const Bytes front = bytes_.first(std::min(count, bytes_.size()));
        bytes_ = bytes_.subspan(front.size());
        return front;
    }
    std::string text(std::size_t count) {
        const Bytes front = taken(count);
        return {front.begin(), front.end()};
    }

  private:
    Bytes bytes_;
};

const std::string& sound_file() {
    static const std::string bytes = [] {
        test::MerrowOptions options;
        options.stations = true;
        return test::bytes_of_file(test::merrow_database(options));
    }();
    return bytes;
}

struct CloseConnection {
    void operator()(sqlite3* connection) const { sqlite3_close(connection); }
};
using Connection = std::unique_ptr<sqlite3, CloseConnection>;

int allowed(void*, int action, const char*, const char*, const char*, const char*) {
    return action == SQLITE_ATTACH || action == SQLITE_DETACH ? SQLITE_DENY : SQLITE_OK;
}

int out_of_steps(void* steps) {
    return --*static_cast<int*>(steps) < 0 ? 1 : 0;
}

Connection copy_in_memory(const std::string& bytes, int& steps) {
    sqlite3* raw = nullptr;
    require(sqlite3_open(":memory:", &raw) == SQLITE_OK);
    Connection connection(raw);
    auto* copy = static_cast<unsigned char*>(sqlite3_malloc64(bytes.size()));
    std::copy(bytes.begin(), bytes.end(), copy);
    require(sqlite3_deserialize(raw, "main", copy, static_cast<sqlite3_int64>(bytes.size()),
                                static_cast<sqlite3_int64>(bytes.size()),
                                SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_RESIZEABLE) ==
            SQLITE_OK);
    sqlite3_set_authorizer(raw, allowed, nullptr);
    sqlite3_progress_handler(raw, 1000, out_of_steps, &steps);
    sqlite3_limit(raw, SQLITE_LIMIT_LENGTH, 1 << 20);
    return connection;
}

void run(sqlite3* connection, const std::string& sql) {
    sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, nullptr);
}

struct Table {
    const char* name;
    const char* key;  ///< an expression that identifies its rows
};
constexpr std::array<Table, 11> kTables{{{"metadata", "key"},
                                         {"lattice", "rowid"},
                                         {"layer", "rowid"},
                                         {"method", "rowid"},
                                         {"period", "rowid"},
                                         {"postal", "code || ' ' || country"},
                                         {"source", "rowid"},
                                         {"source_rejection", "source_id || ' ' || rule"},
                                         {"source_file", "source_id || ' ' || position"},
                                         {"station", "rowid"},
                                         {"tile", "rowid"}}};

/// Changes one column of one row to an integer, a text, a blob or null; or deletes the row.
void change_a_row(sqlite3* connection, Reader& reader) {
    const Table& changed = kTables[reader.number(1) % kTables.size()];
    const std::string table = changed.name;
    const std::string key = changed.key;
    const auto row = std::to_string(reader.number(1));
    const auto column = static_cast<int>(reader.number(1));
    const auto kind = reader.number(1) % 5;
    sqlite3_stmt* raw = nullptr;
    if (sqlite3_prepare_v2(connection, ("SELECT * FROM " + table).c_str(), -1, &raw, nullptr) !=
        SQLITE_OK)
        return;
    const int columns = sqlite3_column_count(raw);
    const std::string name = sqlite3_column_name(raw, column % columns);
    sqlite3_finalize(raw);
    const std::string chosen = " WHERE " + key + " = (SELECT " + key + " FROM " + table +
                               " LIMIT 1 OFFSET " + row + " % max(1, (SELECT count(*) FROM " +
                               table + ")))";
    if (kind == 4) return run(connection, "DELETE FROM " + table + chosen);
    const std::string sql = "UPDATE OR IGNORE " + table + " SET \"" + name + "\" = ?1" + chosen;
    if (sqlite3_prepare_v2(connection, sql.c_str(), -1, &raw, nullptr) != SQLITE_OK) return;
    std::string bytes;
    switch (kind) {
        case 0:
            sqlite3_bind_int64(raw, 1, static_cast<sqlite3_int64>(reader.number(8)));
            break;
        case 1:
        case 2:
            bytes = reader.text(reader.number(1));
            if (kind == 1)
                sqlite3_bind_text(raw, 1, bytes.data(), static_cast<int>(bytes.size()),
                                  SQLITE_TRANSIENT);
            else
                sqlite3_bind_blob(raw, 1, bytes.data(), static_cast<int>(bytes.size()),
                                  SQLITE_TRANSIENT);
            break;
        default:
            break;
    }
    sqlite3_step(raw);
    sqlite3_finalize(raw);
}

std::string text_at(sqlite3_stmt* row, int column) {
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(row, column));
    return text == nullptr
               ? std::string()
               : std::string(text, static_cast<std::size_t>(sqlite3_column_bytes(row, column)));
}

template <class CrcOf>
void seal_rows(sqlite3* connection, const char* select, const char* update, const CrcOf& crc_of) {
    sqlite3_stmt* rows = nullptr;
    sqlite3_stmt* change = nullptr;
    sqlite3_prepare_v2(connection, select, -1, &rows, nullptr);
    sqlite3_prepare_v2(connection, update, -1, &change, nullptr);
    std::vector<std::pair<std::string, std::uint32_t>> found;
    while (rows != nullptr && change != nullptr && sqlite3_step(rows) == SQLITE_ROW &&
           found.size() < 10'000)
        found.emplace_back(text_at(rows, 0), crc_of(rows));
    sqlite3_finalize(rows);
    for (const auto& [key, crc] : found) {
        sqlite3_bind_text(change, 1, key.data(), static_cast<int>(key.size()), SQLITE_TRANSIENT);
        sqlite3_bind_int64(change, 2, crc);
        sqlite3_step(change);
        sqlite3_reset(change);
    }
    sqlite3_finalize(change);
}

void seal(sqlite3* connection) {
    const auto i32 = [](sqlite3_stmt* row, int column) {
        return static_cast<std::int32_t>(sqlite3_column_int64(row, column));
    };
    seal_rows(connection,
              "SELECT code || ' ' || country, code, country, place, lat_e7, lon_e7 FROM postal",
              "UPDATE postal SET crc32 = ?2 WHERE code || ' ' || country = ?1",
              [&](sqlite3_stmt* row) {
                  return postal_crc32(text_at(row, 1), text_at(row, 2), text_at(row, 3),
                                      {i32(row, 4), i32(row, 5)});
              });
    seal_rows(connection,
              "SELECT rowid, name, country, source, period, variables, lat_e7, lon_e7, elevation_m "
              "FROM station",
              "UPDATE station SET crc32 = ?2 WHERE rowid = ?1", [&](sqlite3_stmt* row) {
                  std::array<std::string, 5> texts;
                  std::array<std::string_view, 5> views;
                  for (std::size_t i = 0; i < texts.size(); ++i)
                      views[i] = texts[i] = text_at(row, static_cast<int>(i) + 1);
                  return station_crc32(views, {i32(row, 6), i32(row, 7)}, i32(row, 8));
              });
    seal_rows(connection, "SELECT rowid, tile_key, gap, codec, data FROM tile",
              "UPDATE tile SET crc32 = ?2 WHERE rowid = ?1", [&](sqlite3_stmt* row) {
                  const auto* data = static_cast<const std::uint8_t*>(sqlite3_column_blob(row, 4));
                  return tile_crc32(sqlite3_column_int64(row, 1), sqlite3_column_int64(row, 2),
                                    i32(row, 3),
                                    {data, static_cast<std::size_t>(sqlite3_column_bytes(row, 4))});
              });
    if (const auto hash = content_sha256(connection, "file"))
        run(connection, "UPDATE metadata SET value = '" + *hash + "' WHERE key = 'content_sha256'");
    if (const auto crc = head_crc32(connection, "file"))
        run(connection,
            "UPDATE metadata SET value = '" + std::to_string(*crc) + "' WHERE key = 'head_crc32'");
}

/// All queries that the programs make of a file. Whatever its content, an answer is within the
/// file's own units or is an error.
void ask_everything(const std::string& path) {
    auto database = Database::open(path);
    if (!database) return require(!database.error().message.empty());
    for (const LatLonE7 position :
         {LatLonE7{470'000'000, -310'000'000}, LatLonE7{475'100'000, -305'300'000}, LatLonE7{0, 0},
          LatLonE7{900'000'000, 1'799'999'999}}) {
        (void)(*database)->answer(position);
        (void)(*database)->answer(position, 700);
    }
    (void)database_info_text(**database);
    (void)database_info_json(**database);
    (void)(*database)->stations();
    (void)(*database)->postal_countries();
    (void)places_meant_by(**database, "04107");
    (void)verify_database(**database);
}

}  // namespace

void database(Bytes bytes) {
    if (bytes.size() < 2) return;
    int steps = 2000;
    const Connection connection = copy_in_memory(sound_file(), steps);
    run(connection.get(), "PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF");
    Reader reader(bytes.subspan(2));
    if (bytes[0] % 2 == 0) {
        run(connection.get(), reader.text(bytes.size()));
    } else {
        for (int edits = 0; edits < 20 && !reader.is_empty(); ++edits)
            change_a_row(connection.get(), reader);
    }
    steps = 20'000;
    run(connection.get(), "COMMIT");
    if (bytes[1] % 2 == 0) seal(connection.get());
    sqlite3_int64 size = 0;
    const std::unique_ptr<unsigned char, void (*)(void*)> image(
        sqlite3_serialize(connection.get(), "main", &size, 0), sqlite3_free);
    if (!image) return;
    const MemoryFile file({image.get(), static_cast<std::size_t>(size)});
    ask_everything(file.path());
}

void batch(Bytes bytes) {
    static const std::unique_ptr<Database> small = [] {
        return Database::open(test::merrow_database()).value();
    }();
    const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    CsvReader reader = CsvReader::over(
        "sites", [left = text](char* buffer, std::size_t capacity) mutable -> Result<std::size_t> {
            const std::size_t count = left.copy(buffer, capacity);
            left.remove_prefix(count);
            return count;
        });
    CsvRow header;
    if (!reader.next(header).value_or(false)) return;
    const auto columns = batch_columns(header, "sites");
    if (!columns) return;
    for (const char* format : {"csv", "ndjson"}) {
        test::CapturedSink sink;
        (void)run_batch(reader, *columns, *small, {format, 1}, sink);
    }
}

}  // namespace thirstline::fuzz
