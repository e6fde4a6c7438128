#include "lookup/sql_extension/sqlite_module.hpp"

#include <sqlite3ext.h>

#include <exception>
#include <new>
#include <optional>
#include <string>
#include <utility>

#include "schema/text/utf8_text.hpp"

extern "C" {
SQLITE_EXTENSION_INIT3
}

namespace thirstline {
namespace {

using Function = std::shared_ptr<const SqlFunction>;

struct FunctionTable : sqlite3_vtab {
    Function function;
};

struct FunctionCursor : sqlite3_vtab_cursor {
    std::unique_ptr<SqlRows> rows;
    bool is_at_end = true;
    sqlite3_int64 row_number = 0;
};

FunctionTable& table_of(sqlite3_vtab* table) {
    return *static_cast<FunctionTable*>(table);
}
FunctionCursor& cursor_of(sqlite3_vtab_cursor* cursor) {
    return *static_cast<FunctionCursor*>(cursor);
}

/// The statement ends with this message.
int failed(sqlite3_vtab& table, const std::string& message) {
    sqlite3_free(table.zErrMsg);
    table.zErrMsg =
        sqlite3_mprintf("%s: %s", table_of(&table).function->name, terminal_text(message).c_str());
    // Never SQLITE_CORRUPT: SQLite would take the program's own database for damaged.
    return table.zErrMsg == nullptr ? SQLITE_NOMEM : SQLITE_ERROR;
}

int failed(sqlite3_vtab& table, const Error& error) {
    return failed(table, error.hint.empty() ? error.message : error.message + "; " + error.hint);
}

/// Runs `work`, which returns a result code; no exception passes into SQLite.
template <class Work>
int guarded(sqlite3_vtab& table, const Work& work) noexcept {
    try {
        return work();
    } catch (const std::bad_alloc&) {
        return SQLITE_NOMEM;
    } catch (const std::exception& exception) {
        return failed(table, std::string("an internal error: ") + exception.what());
    } catch (...) {
        return failed(table, std::string("an internal error"));
    }
}

std::string declaration(const SqlFunction& function) {
    std::string text = "CREATE TABLE x(";
    const auto add = [&text](const char* prefix, const SqlColumn& column, const char* suffix) {
        text += std::string(text.back() == '(' ? "" : ", ") + prefix + column.name + " " +
                column.type + suffix;
    };
    for (const SqlColumn& column : function.columns) add("", column, "");
    // Prefixed, so that in a join the columns lat and code of a table of sites stay unambiguous.
    for (const SqlColumn& argument : function.arguments) add("given_", argument, " HIDDEN");
    return text + ")";
}

int connect(sqlite3* connection, void* function, int /*count*/, const char* const* /*names*/,
            sqlite3_vtab** table, char** message) noexcept {
    try {
        const auto& known = *static_cast<Function*>(function);
        const int code = sqlite3_declare_vtab(connection, declaration(*known).c_str());
        if (code != SQLITE_OK) {
            *message = sqlite3_mprintf("%s", sqlite3_errmsg(connection));
            return code;
        }
        auto made = std::make_unique<FunctionTable>();
        made->function = known;
        *table = made.release();
        return SQLITE_OK;
    } catch (...) {
        return SQLITE_NOMEM;
    }
}

int disconnect(sqlite3_vtab* table) noexcept {
    delete &table_of(table);
    return SQLITE_OK;
}

/// What a constraint means for a function, as two characters of the plan: the column, counted from
/// 'A', after its sign: '=' argument, '.' equal, '>' at least, '<' at most.
constexpr char kFirstColumn = 'A';

std::optional<char> sign_of_bound(unsigned char operation) {
    switch (operation) {
        case SQLITE_INDEX_CONSTRAINT_EQ:
            return '.';
        case SQLITE_INDEX_CONSTRAINT_GE:
        case SQLITE_INDEX_CONSTRAINT_GT:
            return '>';
        case SQLITE_INDEX_CONSTRAINT_LE:
        case SQLITE_INDEX_CONSTRAINT_LT:
            return '<';
        default:
            return std::nullopt;
    }
}

bool is_bounded(const SqlFunction& function, int column) {
    for (const int bounded : function.bounded_columns)
        if (bounded == column) return true;
    return false;
}

std::string required_arguments(const SqlFunction& function) {
    std::string text;
    for (std::size_t i = 0; i < function.required_arguments; ++i)
        text += std::string(i == 0 ? "" : ", ") + function.arguments[i].name;
    return text;
}

int plan(sqlite3_vtab* table, sqlite3_index_info* info) noexcept {
    return guarded(*table, [&]() -> int {
        const SqlFunction& function = *table_of(table).function;
        const int columns = static_cast<int>(function.columns.size());
        std::vector<bool> is_given(function.arguments.size());
        std::string text;
        int position = 0;
        const auto use = [&](int constraint, char sign, bool omit) {
            auto& usage = info->aConstraintUsage[constraint];
            usage.argvIndex = ++position;
            usage.omit = omit ? 1 : 0;
            text += sign;
            text += static_cast<char>(kFirstColumn + info->aConstraint[constraint].iColumn);
        };
        for (int i = 0; i < info->nConstraint; ++i) {
            const auto& constraint = info->aConstraint[i];
            if (constraint.iColumn >= columns && constraint.op == SQLITE_INDEX_CONSTRAINT_EQ) {
                const auto argument = static_cast<std::size_t>(constraint.iColumn - columns);
                // An argument from another table that this order of the join does not have yet.
                if (constraint.usable == 0) return SQLITE_CONSTRAINT;
                if (is_given[argument]) continue;
                is_given[argument] = true;
                use(i, '=', true);
            } else if (constraint.usable != 0 && is_bounded(function, constraint.iColumn)) {
                if (const auto sign = sign_of_bound(constraint.op)) use(i, *sign, false);
            }
        }
        for (std::size_t i = 0; i < function.required_arguments; ++i) {
            if (!is_given[i])
                return failed(*table, "the arguments must be " + required_arguments(function));
        }
        info->idxStr = sqlite3_mprintf("%s", text.c_str());
        if (info->idxStr == nullptr) return SQLITE_NOMEM;
        info->needToFreeIdxStr = 1;
        // A site has 12 rows; a file's points are many, and fewer for each argument or condition.
        const bool is_site = function.bounded_columns.empty();
        const double share = 1 << (position < 20 ? position : 20);
        info->estimatedRows = is_site ? 12 : static_cast<sqlite3_int64>(1e7 / share);
        info->estimatedCost = is_site ? 50.0 : 1e7 / share;
        return SQLITE_OK;
    });
}

int open_cursor(sqlite3_vtab* table, sqlite3_vtab_cursor** cursor) noexcept {
    return guarded(*table, [&] {
        *cursor = std::make_unique<FunctionCursor>().release();
        return SQLITE_OK;
    });
}

int close_cursor(sqlite3_vtab_cursor* cursor) noexcept {
    delete &cursor_of(cursor);
    return SQLITE_OK;
}

Result<SqlValue> value_of(sqlite3_value* value, const char* name) {
    switch (sqlite3_value_type(value)) {
        case SQLITE_NULL:
            return SqlValue();
        case SQLITE_INTEGER:
            return SqlValue(std::int64_t{sqlite3_value_int64(value)});
        case SQLITE_FLOAT:
            return SqlValue(sqlite3_value_double(value));
        case SQLITE_TEXT: {
            const auto* text = reinterpret_cast<const char*>(sqlite3_value_text(value));
            if (text == nullptr) throw std::bad_alloc();
            return SqlValue(
                std::string(text, static_cast<std::size_t>(sqlite3_value_bytes(value))));
        }
        default:
            return fail(ErrorCode::usage,
                        std::string(name) + " is a blob, and must be a text or a number");
    }
}

Result<SqlCall> call_of(const SqlFunction& function, const char* planned, int count,
                        sqlite3_value** values) {
    const std::size_t columns = function.columns.size();
    SqlCall call;
    call.arguments.resize(function.arguments.size());
    for (int i = 0; i < count; ++i) {
        const char sign = planned[2 * i];
        const auto column = static_cast<std::size_t>(planned[2 * i + 1] - kFirstColumn);
        if (sign == '=') {
            auto value = TRY(value_of(values[i], function.arguments[column - columns].name));
            call.arguments[column - columns] = std::move(value);
            continue;
        }
        // A condition that compares with a blob is left to SQLite.
        auto value = value_of(values[i], function.columns[column].name);
        if (!value) continue;
        const auto kind = sign == '.'   ? SqlBound::Kind::equal
                          : sign == '>' ? SqlBound::Kind::at_least
                                        : SqlBound::Kind::at_most;
        call.bounds.push_back({static_cast<int>(column), kind, std::move(*value)});
    }
    return call;
}

int next_row(sqlite3_vtab_cursor* cursor) noexcept {
    return guarded(*cursor->pVtab, [&] {
        FunctionCursor& here = cursor_of(cursor);
        const auto more = here.rows->next();
        here.is_at_end = !more || !*more;
        ++here.row_number;
        return more ? SQLITE_OK : failed(*cursor->pVtab, more.error());
    });
}

int start(sqlite3_vtab_cursor* cursor, int /*number*/, const char* planned, int count,
          sqlite3_value** values) noexcept {
    const int code = guarded(*cursor->pVtab, [&] {
        FunctionCursor& here = cursor_of(cursor);
        here.rows.reset();
        here.is_at_end = true;
        here.row_number = 0;
        const SqlFunction& function = *table_of(cursor->pVtab).function;
        auto call = call_of(function, planned, count, values);
        if (!call) return failed(*cursor->pVtab, call.error());
        auto rows = function.rows(std::move(*call));
        if (!rows) return failed(*cursor->pVtab, rows.error());
        here.rows = std::move(*rows);
        return SQLITE_OK;
    });
    return code == SQLITE_OK ? next_row(cursor) : code;
}

int is_at_end(sqlite3_vtab_cursor* cursor) noexcept {
    return cursor_of(cursor).is_at_end ? 1 : 0;
}

/// Texts of a file can hold any bytes, and programs expect UTF-8.
void return_text(sqlite3_context* result, const std::string& text) {
    std::string valid;
    for_each_character(text, [&valid](char32_t, std::string_view bytes) { valid += bytes; });
    sqlite3_result_text(result, valid.data(), static_cast<int>(valid.size()), SQLITE_TRANSIENT);
}

int column_value(sqlite3_vtab_cursor* cursor, sqlite3_context* result, int column) noexcept {
    return guarded(*cursor->pVtab, [&] {
        const SqlValue value = cursor_of(cursor).rows->value(static_cast<std::size_t>(column));
        if (const auto* integer = std::get_if<std::int64_t>(&value))
            sqlite3_result_int64(result, *integer);
        else if (const auto* number = std::get_if<double>(&value))
            sqlite3_result_double(result, *number);
        else if (const auto* text = std::get_if<std::string>(&value))
            return_text(result, *text);
        else
            sqlite3_result_null(result);
        return SQLITE_OK;
    });
}

int row_number(sqlite3_vtab_cursor* cursor, sqlite3_int64* number) noexcept {
    *number = cursor_of(cursor).row_number;
    return SQLITE_OK;
}

void forget(void* function) noexcept {
    delete static_cast<Function*>(function);
}

/// Without xCreate there is no CREATE VIRTUAL TABLE: the functions are only called.
constexpr sqlite3_module table_function_module() {
    sqlite3_module module{};
    module.xConnect = connect;
    module.xBestIndex = plan;
    module.xDisconnect = disconnect;
    module.xOpen = open_cursor;
    module.xClose = close_cursor;
    module.xFilter = start;
    module.xNext = next_row;
    module.xEof = is_at_end;
    module.xColumn = column_value;
    module.xRowid = row_number;
    return module;
}

constexpr sqlite3_module kModule = table_function_module();

}  // namespace

int add_function(sqlite3* connection, std::shared_ptr<const SqlFunction> function) {
    const char* name = function->name;
    auto owned = std::make_unique<Function>(std::move(function));
    // SQLite calls `forget` even if it fails.
    return sqlite3_create_module_v2(connection, name, &kModule, owned.release(), forget);
}

}  // namespace thirstline
