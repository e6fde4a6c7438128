#include "schema/text/text_columns.hpp"

#include <algorithm>

#include "schema/text/text_wrapping.hpp"

namespace thirstline {

std::size_t TextColumn::width() const {
    std::size_t width = columns_of(heading);
    for (const std::string& cell : cells) width = std::max(width, columns_of(cell));
    return width;
}

std::string text_table(const TextColumn& labels, const std::vector<TextColumn>& columns,
                       std::size_t gap) {
    const auto line_of = [&](const auto& text_of) {
        std::string line = left_aligned(text_of(labels), labels.width());
        for (const TextColumn& column : columns)
            line += std::string(gap, ' ') + right_aligned(text_of(column), column.width());
        line.erase(line.find_last_not_of(' ') + 1);
        return line + "\n";
    };
    std::string out = line_of([](const TextColumn& column) { return column.heading; });
    for (std::size_t row = 0; row < labels.cells.size(); ++row) {
        out += line_of([row](const TextColumn& column) { return column.cells[row]; });
    }
    return out;
}

}  // namespace thirstline
