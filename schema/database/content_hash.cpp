#include "schema/database/content_hash.hpp"

#include <algorithm>
#include <initializer_list>
#include <iterator>
#include <string_view>
#include <vector>

#include "schema/base/sha256.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline {

namespace {

Error impossible(const std::string& doing, const char* what) {
    return {ErrorCode::bad_database, doing + " failed: it holds " + what,
            "download or build the file again"};
}

template <class Sink>
void add_sized(Sink& sink, char type, std::span<const std::uint8_t> bytes) {
    sink.add(type + std::to_string(bytes.size()) + ":");
    sink.add(bytes);
    sink.add(std::string_view("\n"));
}

/// Limit on the small tables together: in a malicious file many rows can share the same pages.
constexpr std::size_t kMaxHeadBytes = std::size_t{64} << 20;

/// A checksum that also counts its bytes.
class CountedCrc32 {
  public:
    template <class Bytes>
    void add(const Bytes& bytes) {
        count_ += std::size(bytes);
        crc_.add(bytes);
    }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] std::uint32_t value() const { return crc_.value(); }

  private:
    Crc32 crc_;
    std::size_t count_ = 0;
};

Result<void> check_size(const Sha256&, const std::string&) {
    return {};
}
Result<void> check_size(const CountedCrc32& sink, const std::string& doing) {
    if (sink.count() <= kMaxHeadBytes) return {};
    return fail(impossible(doing, "more than the 64 MiB that the small tables may have together"));
}

template <class Sink>
Result<void> add_row(Sink& sink, const SqliteStatement& row, const std::string& doing) {
    for (int column = 0; column < row.columns(); ++column) {
        switch (row.type(column)) {
            case SQLITE_INTEGER:
                sink.add("i" + std::to_string(row.integer(column)) + "\n");
                break;
            case SQLITE_TEXT:
                add_sized(sink, 't', row.blob(column));
                break;
            case SQLITE_BLOB:
                add_sized(sink, 'b', row.blob(column));
                break;
            default:
                return fail(impossible(doing, "a value of an invalid type"));
        }
    }
    return {};
}

/// Dumps a table without the metadata rows of the given keys.
template <class Sink>
Result<void> add_table(Sink& sink, sqlite3* connection, const std::string& table,
                       std::initializer_list<std::string_view> keys_left_out,
                       const std::string& path) {
    const std::string doing = "reading table " + table + " of " + path;
    auto rows = TRY(
        SqliteStatement::prepare(connection, "SELECT * FROM " + table + " ORDER BY 1, 2", doing));
    sink.add("table " + table + "\n");
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return {};
        const bool left_out = table == "metadata" &&
                              std::ranges::find(keys_left_out, rows.text(0)) != keys_left_out.end();
        if (left_out) continue;
        TRY(add_row(sink, rows, doing));
        TRY(check_size(sink, doing));
    }
}

/// Tables by ascending name. Their names are pasted into SQL, so unusual ones are rejected.
Result<std::vector<std::string>> table_names(sqlite3* connection, const std::string& path) {
    const std::string doing = "reading the schema of " + path;
    auto rows =
        TRY(SqliteStatement::prepare(connection,
                                     "SELECT name FROM sqlite_schema WHERE type = 'table' AND "
                                     "name NOT LIKE 'sqlite%' ORDER BY name",
                                     doing));
    std::vector<std::string> names;
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return names;
        names.push_back(rows.text(0));
        if (names.back().find_first_not_of("abcdefghijklmnopqrstuvwxyz_0123456789") !=
            std::string::npos) {
            return fail(impossible(doing, "a table with an invalid name"));
        }
    }
}

Result<void> add_schema(CountedCrc32& sink, sqlite3* connection, const std::string& path) {
    auto rows =
        TRY(SqliteStatement::prepare(connection,
                                     "SELECT sql FROM sqlite_schema WHERE type IN ('table', "
                                     "'view') AND name NOT LIKE 'sqlite%' ORDER BY name",
                                     "reading the schema of " + path));
    sink.add(std::string_view("schema\n"));
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return {};
        add_sized(sink, 't', rows.blob(0));
    }
}

}  // namespace

Result<std::string> content_sha256(sqlite3* connection, const std::string& path) {
    const auto tables = TRY(table_names(connection, path));
    Sha256 hash;
    for (const std::string& table : tables) {
        TRY(add_table(hash, connection, table, {"content_sha256", "head_crc32"}, path));
    }
    return hash.hex_digest();
}

Result<std::uint32_t> head_crc32(sqlite3* connection, const std::string& path) {
    const auto tables = TRY(table_names(connection, path));
    CountedCrc32 crc;
    TRY(add_schema(crc, connection, path));
    for (const std::string& table : tables) {
        if (table == "tile" || table == "postal" || table == "station") continue;
        TRY(add_table(crc, connection, table, {"head_crc32"}, path));
    }
    return crc.value();
}

}  // namespace thirstline
