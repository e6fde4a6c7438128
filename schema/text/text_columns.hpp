// Tables in plain text: right-aligned columns after a left-aligned first column.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace thirstline {

/// A heading, and one cell per row.
struct TextColumn {
    std::string heading;
    std::vector<std::string> cells;

    /// Width in screen columns of its widest text.
    [[nodiscard]] std::size_t width() const;
};

/// A line of headings and one line per row, at least `gap` blanks between columns; no line ends in
/// blanks. All columns must have as many cells as `labels`.
[[nodiscard]] std::string text_table(const TextColumn& labels,
                                     const std::vector<TextColumn>& columns, std::size_t gap);

}  // namespace thirstline
