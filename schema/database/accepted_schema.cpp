#include "schema/database/accepted_schema.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <string_view>
#include <vector>

#include "schema/base/words.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline {

namespace {

/// Its columns: those of the primary key first, in the key's order.
struct ExpectedTable {
    std::string_view name;
    std::size_t key_columns;
    std::array<std::string_view, 10> columns;
};

constexpr std::array<ExpectedTable, 11> kExpectedTables{{
    {"metadata", 1, {"key", "value"}},
    {"lattice",
     1,
     {"lattice_id", "name", "west_arcsec", "south_arcsec", "spacing_arcsec", "columns", "rows",
      "rank", "tile_edge", "reach_m"}},
    {"layer", 1, {"layer_id", "name", "unit", "shape", "divisor", "width_bytes", "is_signed"}},
    {"source",
     1,
     {"source_id", "name", "variable", "period", "licence", "attribution", "url", "values_used"}},
    {"source_rejection", 2, {"source_id", "rule", "count"}},
    {"source_file", 2, {"source_id", "position", "name", "sha256"}},
    {"period", 1, {"period_id", "text"}},
    {"method", 1, {"code", "name", "note", "site_correction"}},
    {"tile", 1, {"tile_key", "gap", "codec", "crc32", "data"}},
    {"station",
     1,
     {"station_id", "name", "country", "lat_e7", "lon_e7", "elevation_m", "source", "period",
      "variables", "crc32"}},
    {"postal", 2, {"code", "country", "place", "lat_e7", "lon_e7", "crc32"}},
}};

/// Absent from files before format 1.3.
constexpr ExpectedTable kHistoryTable{
    "history",
    1,
    {"step", "action", "program", "title", "inputs", "note", "content_sha256", "input_files_sha256",
     "recipe_sha256", "recipe"}};

constexpr std::array<std::string_view, 3> kAcceptedViews{"plain_layer", "point", "profile"};

tl::unexpected<Error> not_accepted(const std::string& path, const std::string& what) {
    return fail(ErrorCode::bad_database, path + " is damaged: " + what,
                "download or build the file again");
}

/// A row of sqlite_schema. `begins` is the beginning of its SQL.
struct SchemaRow {
    std::string type, name, begins;
};

bool is_accepted(const SchemaRow& row) {
    if (row.type == "table") {
        return ascii_lower(row.begins).starts_with("create table ") &&
               row.name.find_first_not_of("abcdefghijklmnopqrstuvwxyz_0123456789") ==
                   std::string::npos;
    }
    if (row.type == "index") return row.begins.empty() && row.name.starts_with("sqlite_autoindex_");
    return row.type == "view" &&
           std::ranges::find(kAcceptedViews, row.name) != kAcceptedViews.end();
}

Result<void> check_objects(sqlite3* connection, const std::string& path) {
    auto rows = TRY(SqliteStatement::prepare(
        connection, "SELECT type, name, substr(sql, 1, 20) FROM sqlite_schema",
        "reading the schema of " + path));
    for (int count = 0;; ++count) {
        const auto more = TRY(rows.step());
        if (!more) return {};
        if (count == kMaxSchemaRows) {
            return not_accepted(path, "it has more than " + std::to_string(kMaxSchemaRows) +
                                          " tables, views and indexes");
        }
        const SchemaRow row{rows.text(0), rows.text(1), rows.text(2)};
        if (is_accepted(row)) continue;
        return not_accepted(path, "it holds the " + in_quotes(row.type, 20) + " " +
                                      in_quotes(row.name, 40) +
                                      ", which a Thirstline database must not hold");
    }
}

struct TableColumn {
    std::string name;
    std::int64_t key_position = 0;  ///< in the primary key, from 1; else 0
};
using ColumnsOfTables = std::map<std::string, std::vector<TableColumn>, std::less<>>;

Result<void> check_table(const ExpectedTable& table, const ColumnsOfTables& tables,
                         const std::string& path) {
    const std::string name(table.name);
    const auto columns = tables.find(table.name);
    if (columns == tables.end()) return not_accepted(path, "it has no table " + name);
    for (std::size_t i = 0; i < table.columns.size() && !table.columns[i].empty(); ++i) {
        const auto found = std::ranges::find(columns->second, table.columns[i], &TableColumn::name);
        if (found == columns->second.end()) {
            return not_accepted(
                path, "its table " + name + " has no column " + std::string(table.columns[i]));
        }
        const std::int64_t position = i < table.key_columns ? static_cast<std::int64_t>(i) + 1 : 0;
        if (found->key_position != position)
            return not_accepted(path, "its table " + name + " has another primary key");
    }
    return {};
}

/// In a table that is not STRICT any column may hold a value of any type.
Result<void> check_strictness(sqlite3* connection, const std::string& path) {
    auto rows = TRY(SqliteStatement::prepare(
        connection,
        "SELECT entry.name FROM sqlite_schema AS entry, pragma_table_list(entry.name) AS list "
        "WHERE entry.type = 'table' AND substr(entry.name, 1, 6) <> 'sqlite' AND list.schema = "
        "'main' AND list.strict = 0",
        "reading the tables of " + path));
    const auto more = TRY(rows.step());
    if (!more) return {};
    return not_accepted(path, "its table " + in_quotes(rows.text(0), 40) + " is not STRICT");
}

}  // namespace

Result<void> check_schema(sqlite3* connection, const std::string& path) {
    TRY(check_objects(connection, path));
    TRY(check_strictness(connection, path));
    auto rows = TRY(SqliteStatement::prepare(
        connection,
        "SELECT entry.name, info.name, info.hidden, info.pk FROM sqlite_schema AS entry, "
        "pragma_table_xinfo(entry.name) AS info WHERE entry.type = 'table'",
        "reading the columns of " + path));
    ColumnsOfTables tables;
    while (true) {
        const auto more = TRY(rows.step());
        if (!more) break;
        if (rows.integer(2) != 0) {
            return not_accepted(path, "the column " + in_quotes(rows.text(1), 40) +
                                          " of its table " + rows.text(0) + " is computed");
        }
        tables[rows.text(0)].push_back({rows.text(1), rows.integer(3)});
    }
    for (const ExpectedTable& table : kExpectedTables) TRY(check_table(table, tables, path));
    if (tables.contains(kHistoryTable.name)) TRY(check_table(kHistoryTable, tables, path));
    return {};
}

}  // namespace thirstline
