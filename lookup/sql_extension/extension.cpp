// The loadable SQLite extension: its entry point, and the views over the program's own file.
#include <sqlite3ext.h>

#include <exception>
#include <memory>
#include <string>

#include "lookup/sql_extension/files_of_connection.hpp"
#include "lookup/sql_extension/info_function.hpp"
#include "lookup/sql_extension/points_function.hpp"
#include "lookup/sql_extension/site_functions.hpp"
#include "lookup/sql_extension/sqlite_module.hpp"
#include "schema/base/version.hpp"

extern "C" {
SQLITE_EXTENSION_INIT1
}

namespace thirstline {
namespace {

/// Virtual tables with hidden arguments that are called, and none of whose plans may be refused:
/// SQLite 3.26.
constexpr int kMinSqlite = 3'026'000;

/// SQLite's own code, not an Error: the caller has the connection's message.
int add_functions(sqlite3* connection) {
    const auto files = std::make_shared<FilesOfConnection>();
    for (SqlFunction function : {site_function(files), postal_function(files),
                                 points_function(files), info_function(files)}) {
        const int code =
            add_function(connection, std::make_shared<const SqlFunction>(std::move(function)));
        if (code != SQLITE_OK) return code;
    }
    return SQLITE_OK;
}

struct StatementEnd {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};

bool is_thirstline_file(sqlite3* connection) {
    sqlite3_stmt* raw = nullptr;
    if (sqlite3_prepare_v2(connection, "PRAGMA main.application_id", -1, &raw, nullptr) !=
        SQLITE_OK)
        return false;
    const std::unique_ptr<sqlite3_stmt, StatementEnd> statement(raw);
    return sqlite3_step(raw) == SQLITE_ROW && sqlite3_column_int(raw, 0) == kApplicationId;
}

std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? "''" : std::string(1, c);
    return out + "'";
}

/// If the program has opened a Thirstline file itself: temporary views of the same names and
/// columns as the file's own, which are read before them, and show a compact file, too.
int add_views(sqlite3* connection) {
    const char* path = sqlite3_db_filename(connection, "main");
    if (path == nullptr || *path == '\0' || !is_thirstline_file(connection)) return SQLITE_OK;
    const std::string points = " FROM thirstline_points(" + quoted(path) + ")";
    const std::string sql =
        "CREATE TEMP VIEW IF NOT EXISTS point AS SELECT tile_key, slot, lattice_id, lat, lon" +
        points +
        " WHERE month = 1;"
        "CREATE TEMP VIEW IF NOT EXISTS profile AS SELECT tile_key, lattice_id, lat, lon, month, "
        "eto_mm, eto_mm_per_day, eto_se_mm, rain_mm, rain_se_mm, tmax_c, tmin_c, method_code" +
        points + ";";
    return sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, nullptr);
}

}  // namespace
}  // namespace thirstline

/// SQLite finds it by the file's name, thirstline.so.
extern "C" __attribute__((visibility("default"))) int sqlite3_thirstline_init(
    sqlite3* connection, char** message, const sqlite3_api_routines* api) {
    SQLITE_EXTENSION_INIT2(api)
    try {
        if (sqlite3_libversion_number() < thirstline::kMinSqlite) {
            *message = sqlite3_mprintf("thirstline needs SQLite 3.26 or later, and this is %s",
                                       sqlite3_libversion());
            return SQLITE_ERROR;
        }
        int code = thirstline::add_functions(connection);
        if (code == SQLITE_OK) code = thirstline::add_views(connection);
        if (code != SQLITE_OK) *message = sqlite3_mprintf("%s", sqlite3_errmsg(connection));
        return code;
    } catch (const std::bad_alloc&) {
        return SQLITE_NOMEM;
    } catch (const std::exception& exception) {
        *message = sqlite3_mprintf("%s", exception.what());
        return SQLITE_ERROR;
    }
}
