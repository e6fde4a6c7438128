// The rows of tiles of a lattice from which a file was built, if it was built in parts: metadata
// "tile_rows", such as "0:3 of 6", or "0:3 5:6 of 6" after some parts were joined.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

struct TileRowRange {
    int first = 0;  ///< counted from the lattice's southernmost row of tiles
    int end = 0;    ///< excluded
    friend bool operator==(const TileRowRange&, const TileRowRange&) = default;
};

/// Ranges by ascending row, with gaps between them, and the lattice's number of tile rows.
struct TileRowRanges {
    std::vector<TileRowRange> ranges;
    int of = 0;

    [[nodiscard]] bool is_part() const { return !ranges.empty(); }
    /// Whether these are all rows of the lattice.
    [[nodiscard]] bool is_whole() const {
        return ranges.size() == 1 && ranges.front() == TileRowRange{0, of};
    }
};

/// Nothing for a text that is not valid.
[[nodiscard]] std::optional<TileRowRanges> parsed_tile_row_ranges(std::string_view text);
[[nodiscard]] std::string tile_row_ranges_text(const TileRowRanges& rows);

/// The union; nothing if they share a row or have different numbers of tile rows.
[[nodiscard]] std::optional<TileRowRanges> joined(const TileRowRanges& a, const TileRowRanges& b);

}  // namespace thirstline
