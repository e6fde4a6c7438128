// What a file of only some parts of a baseline lacks: metadata "tile_rows" names the rows of tiles
// that it holds.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "schema/database/database.hpp"
#include "schema/database/tile_row_ranges.hpp"

namespace thirstline {

/// Points from one latitude to another, both included.
struct MissingBand {
    std::int32_t south_arcsec = 0;
    std::int32_t north_arcsec = 0;
};

/// The rows between and around those present, from the south.
[[nodiscard]] std::vector<TileRowRange> missing_ranges(const TileRowRanges& present);

/// The latitudes of the lattice's points in these rows of tiles.
[[nodiscard]] std::vector<MissingBand> missing_bands(const Lattice& lattice,
                                                     const TileRowRanges& present);

/// "44.27 to 44.53 N and 44.8 to 45.07 N"
[[nodiscard]] std::string bands_text(const std::vector<MissingBand>& bands);

/// The rows present in an incomplete file; nothing for any other.
[[nodiscard]] std::optional<TileRowRanges> rows_present(const Database& database);

/// "this database is incomplete: it lacks the points from 44.27 to 44.53 N"; empty for a complete
/// one.
[[nodiscard]] std::string incomplete_words(const Database& database);
/// The same as a sentence.
[[nodiscard]] std::string incomplete_sentence(const Database& database);

/// The notice that every answer shows: metadata "notice", then the sentence above.
[[nodiscard]] std::string shown_notice(const Database& database);

}  // namespace thirstline
