#include "schema/database/sqlite_handles.hpp"

#include "schema/database/read_only_connection.hpp"

namespace thirstline {

Error sqlite_error(sqlite3* connection, int result_code, const std::string& doing) {
    const std::string reason =
        connection != nullptr ? sqlite3_errmsg(connection) : sqlite3_errstr(result_code);
    const WorkBudget* budget = connection != nullptr ? work_budget_of(connection) : nullptr;
    if (budget != nullptr && budget->file->was_changed()) return budget->file->changed_error();
    if (budget != nullptr && budget->was_spent) {
        return {ErrorCode::bad_database, doing + " needs more work than any valid file",
                "download or build the file again"};
    }
    switch (result_code & 0xFF) {
        case SQLITE_FULL:
            return {ErrorCode::io, doing + " failed: the disk is full",
                    "free some space, or write to another disk"};
        case SQLITE_IOERR:
        case SQLITE_CANTOPEN:
        case SQLITE_READONLY:
        case SQLITE_PERM:
        case SQLITE_AUTH:
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return {ErrorCode::io, doing + " failed: " + reason, ""};
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
        case SQLITE_SCHEMA:
        case SQLITE_ERROR:   // a missing table or column
        case SQLITE_TOOBIG:  // exceeds the limits of ReadOnlyConnection
            return {ErrorCode::bad_database, doing + " failed: " + reason,
                    "download or build the file again"};
        default:
            return {ErrorCode::internal, doing + " failed: " + reason, ""};
    }
}

Result<SqliteStatement> SqliteStatement::prepare(sqlite3* connection, std::string_view sql,
                                                 const std::string& doing) {
    sqlite3_stmt* raw = nullptr;
    const int code = sqlite3_prepare_v3(connection, sql.data(), static_cast<int>(sql.size()),
                                        SQLITE_PREPARE_PERSISTENT, &raw, nullptr);
    if (code != SQLITE_OK) return fail(sqlite_error(connection, code, doing));
    SqliteStatement statement;
    statement.statement_.reset(raw);
    statement.doing_ = doing;
    statement.budget_ = work_budget_of(connection);
    if (statement.budget_ != nullptr)
        statement.steps_ = whole_table_steps(statement.budget_->file->bytes());
    return statement;
}

void SqliteStatement::bind(int position, std::int64_t value) {
    sqlite3_bind_int64(statement_.get(), position, value);
}

void SqliteStatement::bind(int position, std::string_view text) {
    sqlite3_bind_text(statement_.get(), position, text.data() != nullptr ? text.data() : "",
                      static_cast<int>(text.size()), SQLITE_STATIC);
}

void SqliteStatement::bind(int position, std::span<const std::uint8_t> blob) {
    sqlite3_bind_blob(statement_.get(), position, blob.data(), static_cast<int>(blob.size()),
                      SQLITE_STATIC);
}

Result<bool> SqliteStatement::step() {
    if (budget_ != nullptr) {
        budget_->steps_left = steps_;
        budget_->was_spent = false;
    }
    const int code = sqlite3_step(statement_.get());
    if (code == SQLITE_ROW) return true;
    // The message must be read before the statement is reset.
    if (code != SQLITE_DONE) {
        Error error = sqlite_error(sqlite3_db_handle(statement_.get()), code, doing_);
        reset();
        return fail(std::move(error));
    }
    reset();
    return false;
}

void SqliteStatement::reset() {
    sqlite3_reset(statement_.get());
}

std::int64_t SqliteStatement::integer(int column) const {
    return sqlite3_column_int64(statement_.get(), column);
}

std::string SqliteStatement::text(int column) const {
    const auto* bytes =
        reinterpret_cast<const char*>(sqlite3_column_text(statement_.get(), column));
    if (bytes == nullptr) return {};
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

std::span<const std::uint8_t> SqliteStatement::blob(int column) const {
    const auto* bytes =
        static_cast<const std::uint8_t*>(sqlite3_column_blob(statement_.get(), column));
    if (bytes == nullptr) return {};
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

int SqliteStatement::columns() const {
    return sqlite3_column_count(statement_.get());
}

int SqliteStatement::type(int column) const {
    return sqlite3_column_type(statement_.get(), column);
}

Result<void> run_sql(sqlite3* connection, const char* sql, const std::string& doing) {
    const int code = sqlite3_exec(connection, sql, nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) return fail(sqlite_error(connection, code, doing));
    return {};
}

}  // namespace thirstline
