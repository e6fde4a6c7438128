// How a table of text is written, and which of its rows are wanted, as a recipe states it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace thirstline {

/// In place of a separator: the character of | tab ; , that the header line has most often.
inline constexpr char kSeparatorOfHeader = '\0';

/// A column of a table without separators: bytes of each line, counted from 1.
struct FixedColumn {
    std::string name;
    std::size_t first = 1;
    std::size_t last = 1;
};

struct TableFormat {
    std::string encoding = "UTF-8";
    char separator = ',';
    bool quotes = true;              ///< a quote begins a quoted field
    std::int64_t skip_rows = 0;      ///< lines before the header
    std::string header;              ///< the header line's beginning; empty: the first line
    bool decimal_comma = false;      ///< "-0,5" is -0.5
    std::vector<FixedColumn> fixed;  ///< if any, there are no separators and no header line
};

/// A row is wanted only if its column has one of the values, compared as text without blanks around
/// it.
struct RowCondition {
    std::string column;
    std::vector<std::string> values;
    std::string where;  ///< "merrow.toml:40"
};

}  // namespace thirstline
