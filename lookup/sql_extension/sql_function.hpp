// A table-valued function of SQL, apart from SQLite's own interface: arguments in, rows out. Only
// sqlite_module.cpp and extension.cpp call the program that has loaded the extension.
//
// Thread safety: all objects belong to the connection that the extension is loaded into, and SQLite
// lets one thread at a time use it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// NULL, INTEGER, REAL or TEXT.
using SqlValue = std::variant<std::monostate, std::int64_t, double, std::string>;

[[nodiscard]] inline bool is_null(const SqlValue& value) {
    return std::holds_alternative<std::monostate>(value);
}

struct SqlColumn {
    const char* name;
    const char* type;  ///< of SQL
};

/// A condition of the query on a column, `column >= value` and the like, by which a function may
/// skip rows. SQLite checks every row again, so skipping none is right, too.
struct SqlBound {
    enum class Kind { equal, at_least, at_most };
    int column = 0;
    Kind kind = Kind::equal;
    SqlValue value;
};

struct SqlCall {
    std::vector<SqlValue> arguments;  ///< one for each of the function's; NULL where not given
    std::vector<SqlBound> bounds;
};

/// The rows of one call.
class SqlRows {
  public:
    SqlRows() = default;
    SqlRows(const SqlRows&) = delete;
    SqlRows& operator=(const SqlRows&) = delete;
    virtual ~SqlRows() = default;

    /// Moves to the next row, at first to the first; false at the end.
    [[nodiscard]] virtual Result<bool> next() = 0;
    /// Of the current row: the function's columns, then its arguments as they were understood.
    [[nodiscard]] virtual SqlValue value(std::size_t column) const = 0;
};

struct SqlFunction {
    const char* name;
    std::vector<SqlColumn> columns;
    std::vector<SqlColumn> arguments;
    std::size_t required_arguments = 1;
    std::vector<int> bounded_columns;  ///< those for which SqlBounds are of use
    std::function<Result<std::unique_ptr<SqlRows>>(SqlCall)> rows;
};

}  // namespace thirstline
