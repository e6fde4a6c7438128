#include "schema/database/read_only_connection.hpp"

#include <sqlite3.h>

#include <cstring>
#include <string>
#include <utility>

#include "schema/database/sqlite_handles.hpp"

namespace thirstline {

namespace {

/// SQLite's file object for the OpenedFile.
struct SqliteFile {
    sqlite3_file base;  ///< must come first
    OpenedFile* opened;
    WorkBudget* budget;
};

SqliteFile& own(sqlite3_file* file) {
    return *reinterpret_cast<SqliteFile*>(file);
}

/// Asks a file for its work budget. SQLite reserves numbers below 100.
constexpr int kAskForBudget = 0x54684C69;

int close_file(sqlite3_file*) {
    return SQLITE_OK;
}

int read_bytes(sqlite3_file* file, void* to, int count, sqlite3_int64 offset) {
    auto* bytes = static_cast<std::uint8_t*>(to);
    const auto requested = static_cast<std::size_t>(count);
    const std::int64_t got = own(file).opened->read(offset, {bytes, requested});
    if (got < 0) return SQLITE_IOERR_READ;
    if (got == count) return SQLITE_OK;
    std::memset(bytes + got, 0, requested - static_cast<std::size_t>(got));
    return SQLITE_IOERR_SHORT_READ;
}

int refuse_write(sqlite3_file*, const void*, int, sqlite3_int64) {
    return SQLITE_READONLY;
}
int refuse_truncate(sqlite3_file*, sqlite3_int64) {
    return SQLITE_READONLY;
}
int sync_nothing(sqlite3_file*, int) {
    return SQLITE_OK;
}
int file_bytes(sqlite3_file* file, sqlite3_int64* bytes) {
    *bytes = own(file).opened->bytes();
    return SQLITE_OK;
}
int lock_nothing(sqlite3_file*, int) {
    return SQLITE_OK;
}
int no_reserved_lock(sqlite3_file*, int* is_reserved) {
    *is_reserved = 0;
    return SQLITE_OK;
}
int control(sqlite3_file* file, int operation, void* argument) {
    if (operation != kAskForBudget) return SQLITE_NOTFOUND;
    *static_cast<WorkBudget**>(argument) = own(file).budget;
    return SQLITE_OK;
}
int sector_bytes(sqlite3_file*) {
    return 4096;
}
int characteristics(sqlite3_file*) {
    return SQLITE_IOCAP_IMMUTABLE;
}
int fetch_mapped(sqlite3_file* file, sqlite3_int64 offset, int count, void** bytes) {
    *bytes = const_cast<std::uint8_t*>(own(file).opened->mapped(offset, count));
    return SQLITE_OK;
}
int unfetch_nothing(sqlite3_file*, sqlite3_int64, void*) {
    return SQLITE_OK;
}

constexpr sqlite3_io_methods kMethods{3,
                                      close_file,
                                      read_bytes,
                                      refuse_write,
                                      refuse_truncate,
                                      sync_nothing,
                                      file_bytes,
                                      lock_nothing,
                                      lock_nothing,
                                      no_reserved_lock,
                                      control,
                                      sector_bytes,
                                      characteristics,
                                      nullptr,
                                      nullptr,
                                      nullptr,
                                      nullptr,
                                      fetch_mapped,
                                      unfetch_nothing};

/// The data of a SQLite file system that contains one file.
struct OneFile {
    OpenedFile* opened;
    WorkBudget* budget;
};

int open_file(sqlite3_vfs* system, sqlite3_filename name, sqlite3_file* file, int flags,
              int* flags_out) {
    file->pMethods = nullptr;
    // Journals and temporary files are never needed: nothing is written, and sorting is done in
    // memory.
    if (name == nullptr || (flags & SQLITE_OPEN_MAIN_DB) == 0) return SQLITE_CANTOPEN;
    const auto& one = *static_cast<const OneFile*>(system->pAppData);
    own(file).opened = one.opened;
    own(file).budget = one.budget;
    file->pMethods = &kMethods;
    if (flags_out != nullptr) *flags_out = SQLITE_OPEN_READONLY | SQLITE_OPEN_MAIN_DB;
    return SQLITE_OK;
}

int refuse_delete(sqlite3_vfs*, const char*, int) {
    return SQLITE_IOERR_DELETE;
}
int nothing_else_is_there(sqlite3_vfs*, const char*, int, int* is_there) {
    *is_there = 0;
    return SQLITE_OK;
}
int same_name(sqlite3_vfs*, const char* name, int capacity, char* out) {
    sqlite3_snprintf(capacity, out, "%s", name);
    return SQLITE_OK;
}
int zero_bytes(sqlite3_vfs*, int count, char* out) {
    std::memset(out, 0, static_cast<std::size_t>(count));
    return count;
}
int sleep_not(sqlite3_vfs*, int) {
    return 0;
}
int day_zero(sqlite3_vfs*, double* day) {
    *day = 0.0;
    return SQLITE_OK;
}
int no_error(sqlite3_vfs*, int, char*) {
    return 0;
}

sqlite3_vfs file_system_of(OneFile& one, const char* name) {
    sqlite3_vfs system{};
    system.iVersion = 1;
    system.szOsFile = sizeof(SqliteFile);
    system.mxPathname = 64;
    system.zName = name;
    system.pAppData = &one;
    system.xOpen = open_file;
    system.xDelete = refuse_delete;
    system.xAccess = nothing_else_is_there;
    system.xFullPathname = same_name;
    system.xRandomness = zero_bytes;
    system.xSleep = sleep_not;
    system.xCurrentTime = day_zero;
    system.xGetLastError = no_error;
    return system;
}

constexpr int kStepsBetweenLooks = 1'000;

int looked_at_budget(void* budget_of_connection) {
    auto& budget = *static_cast<WorkBudget*>(budget_of_connection);
    budget.steps_left -= kStepsBetweenLooks;
    budget.was_spent = budget.steps_left < 0;
    return budget.was_spent ? 1 : 0;
}

/// A valid file needs far less than these limits.
void set_limits(sqlite3* connection) {
    sqlite3_limit(connection, SQLITE_LIMIT_LENGTH, 32 << 20);  // more than any tile
    sqlite3_limit(connection, SQLITE_LIMIT_SQL_LENGTH, 256 << 10);
    sqlite3_limit(connection, SQLITE_LIMIT_COLUMN, 256);
    sqlite3_limit(connection, SQLITE_LIMIT_EXPR_DEPTH, 500);
    sqlite3_limit(connection, SQLITE_LIMIT_COMPOUND_SELECT, 50);
    sqlite3_limit(connection, SQLITE_LIMIT_VDBE_OP, 1'000'000);
    sqlite3_limit(connection, SQLITE_LIMIT_FUNCTION_ARG, 32);
    sqlite3_limit(connection, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_limit(connection, SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 100);
    sqlite3_limit(connection, SQLITE_LIMIT_VARIABLE_NUMBER, 16);
    sqlite3_limit(connection, SQLITE_LIMIT_TRIGGER_DEPTH, 1);
    sqlite3_limit(connection, SQLITE_LIMIT_WORKER_THREADS, 0);
}

}  // namespace

struct ReadOnlyConnection::State {
    std::shared_ptr<OpenedFile> file;
    WorkBudget budget;
    OneFile one{};
    std::string system_name;
    sqlite3_vfs system{};
    SqliteConnection connection;  ///< last: it ends before the members it uses
};

ReadOnlyConnection::ReadOnlyConnection(std::unique_ptr<State> state) : state_(std::move(state)) {}
ReadOnlyConnection::ReadOnlyConnection(ReadOnlyConnection&&) noexcept = default;
ReadOnlyConnection& ReadOnlyConnection::operator=(ReadOnlyConnection&&) noexcept = default;
ReadOnlyConnection::~ReadOnlyConnection() = default;

sqlite3* ReadOnlyConnection::get() const {
    return state_->connection.get();
}

const std::shared_ptr<OpenedFile>& ReadOnlyConnection::file() const {
    return state_->file;
}

Result<ReadOnlyConnection> ReadOnlyConnection::to(std::shared_ptr<OpenedFile> file) {
    auto state = std::make_unique<State>();
    state->file = std::move(file);
    state->budget = {whole_table_steps(state->file->bytes()), false, state->file.get()};
    state->one = {state->file.get(), &state->budget};
    // SQLite looks up a file system by name once, when a connection is opened.
    state->system_name =
        "thirstline-" + std::to_string(reinterpret_cast<std::uintptr_t>(state.get()));
    state->system = file_system_of(state->one, state->system_name.c_str());
    sqlite3* raw = nullptr;
    int code = sqlite3_vfs_register(&state->system, 0);
    if (code == SQLITE_OK) {
        code = sqlite3_open_v2("database", &raw, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX,
                               state->system_name.c_str());
        sqlite3_vfs_unregister(&state->system);
    }
    state->connection.reset(raw);
    const std::string doing = "opening " + state->file->path();
    if (code != SQLITE_OK) {
        // There is no budget until SQLite has opened the file.
        if (state->file->was_changed()) return fail(state->file->changed_error());
        return fail(sqlite_error(raw, code, doing));
    }
    sqlite3_extended_result_codes(raw, 1);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    set_limits(raw);
    sqlite3_progress_handler(raw, kStepsBetweenLooks, looked_at_budget, &state->budget);
    TRY(run_sql(raw, "PRAGMA cell_size_check=ON; PRAGMA temp_store=MEMORY", doing));
    if (state->file->mapped(0, 1) != nullptr)
        TRY(run_sql(raw, "PRAGMA mmap_size=2147418112", doing));
    return ReadOnlyConnection(std::move(state));
}

WorkBudget* work_budget_of(sqlite3* connection) {
    WorkBudget* budget = nullptr;
    sqlite3_file_control(connection, "main", kAskForBudget, &budget);
    return budget;
}

}  // namespace thirstline
