#include "schema/database/tile_row_ranges.hpp"

#include <algorithm>
#include <charconv>

namespace thirstline {

namespace {

/// Removes a whole number from the front of the text and returns it.
std::optional<int> taken_number(std::string_view& text) {
    int number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || number < 0) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return number;
}

bool taken(std::string_view& text, std::string_view word) {
    if (!text.starts_with(word)) return false;
    text.remove_prefix(word.size());
    return true;
}

}  // namespace

std::optional<TileRowRanges> parsed_tile_row_ranges(std::string_view text) {
    TileRowRanges rows;
    do {
        const auto first = taken_number(text);
        if (!first || !taken(text, ":")) return std::nullopt;
        const auto end = taken_number(text);
        if (!end || *end <= *first) return std::nullopt;
        if (!rows.ranges.empty() && *first <= rows.ranges.back().end) return std::nullopt;
        rows.ranges.push_back({*first, *end});
        if (!taken(text, " ")) return std::nullopt;
    } while (!taken(text, "of "));
    const auto of = taken_number(text);
    if (!of || !text.empty() || rows.ranges.back().end > *of) return std::nullopt;
    rows.of = *of;
    return rows;
}

std::string tile_row_ranges_text(const TileRowRanges& rows) {
    std::string text;
    for (const TileRowRange& range : rows.ranges)
        text += std::to_string(range.first) + ":" + std::to_string(range.end) + " ";
    return text + "of " + std::to_string(rows.of);
}

std::optional<TileRowRanges> joined(const TileRowRanges& a, const TileRowRanges& b) {
    if (a.of != b.of) return std::nullopt;
    std::vector<TileRowRange> all = a.ranges;
    all.insert(all.end(), b.ranges.begin(), b.ranges.end());
    std::ranges::sort(all, {}, &TileRowRange::first);
    TileRowRanges rows{{}, a.of};
    for (const TileRowRange& range : all) {
        if (rows.ranges.empty() || rows.ranges.back().end < range.first) {
            rows.ranges.push_back(range);
        } else if (rows.ranges.back().end == range.first) {
            rows.ranges.back().end = range.end;
        } else {
            return std::nullopt;
        }
    }
    return rows;
}

}  // namespace thirstline
