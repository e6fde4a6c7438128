// Owners of SQLite's connection and statement, and the few calls on them that this project makes.
//
// Thread safety: as in SQLite; each object belongs to one thread at a time.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

struct SqliteCloser {
    void operator()(sqlite3* connection) const { sqlite3_close_v2(connection); }
};
using SqliteConnection = std::unique_ptr<sqlite3, SqliteCloser>;

/// The Error for a result code of SQLite: io if the operating system refused, bad_database for a
/// damaged file or one that is not a database, internal otherwise. `doing` begins the sentence:
/// "reading table tile of a.sqlite".
[[nodiscard]] Error sqlite_error(sqlite3* connection, int result_code, const std::string& doing);

struct WorkBudget;

/// A prepared statement. On a ReadOnlyConnection each step has a WorkBudget: as much as its file
/// can need, or the value set with `limit_steps`. Read columns only after `step` has returned true.
class SqliteStatement {
  public:
    [[nodiscard]] static Result<SqliteStatement> prepare(sqlite3* connection, std::string_view sql,
                                                         const std::string& doing);

    /// The maximum work of a step: see WorkBudget.
    void limit_steps(std::int64_t steps) { steps_ = steps; }

    void bind(int position, std::int64_t value);
    void bind(int position, std::string_view text);  ///< the text must outlive the next step
    void bind(int position, std::span<const std::uint8_t> blob);  ///< like the text

    /// True: there is a row. False: done, and the statement can be run again.
    [[nodiscard]] Result<bool> step();
    void reset();

    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::span<const std::uint8_t> blob(int column) const;  ///< or a text's bytes
    [[nodiscard]] int columns() const;
    [[nodiscard]] int type(int column) const;  ///< SQLITE_INTEGER, SQLITE_TEXT, SQLITE_BLOB …

  private:
    struct Finalizer {
        void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
    };
    std::unique_ptr<sqlite3_stmt, Finalizer> statement_;
    std::string doing_;
    WorkBudget* budget_ = nullptr;
    std::int64_t steps_ = 0;
};

/// Runs SQL that returns no rows.
[[nodiscard]] Result<void> run_sql(sqlite3* connection, const char* sql, const std::string& doing);

}  // namespace thirstline
