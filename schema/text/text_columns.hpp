// Tables of a text: columns set flush right beside a first column set flush left.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace thirstline {

/// A heading and a cell a row.
struct TextColumn {
    std::string heading;
    std::vector<std::string> cells;

    /// Columns of the screen that its widest text takes.
    [[nodiscard]] std::size_t width() const;
};

/// A line of headings and one a row, each column at least `gap` blanks from the one before; no line
/// ends in blanks. All columns must have as many cells as `labels`.
[[nodiscard]] std::string text_table(const TextColumn& labels,
                                     const std::vector<TextColumn>& columns, std::size_t gap);

}  // namespace thirstline
