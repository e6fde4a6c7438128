// Postal codes and their centroids, from the tables that a recipe names.
//
// Codes are kept in normal form (schema/database/postal_codes.hpp). Several rows of one code in one
// table are places within it: the code gets the median of their latitudes and of their longitudes.
// If two tables have a code, the first in the recipe is used. Codes farther than the reach from the
// lattice are counted and left out. Rows that are rejected or doubtful
// are reported by line.
#pragma once

#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct PostalTable {
    std::vector<PostalPlace> places;   ///< by code, then country; each pair once
    std::vector<SourceTally> tallies;  ///< by [[postal]] of the recipe; `used` counts rows
    std::int64_t rows_read = 0;
};

/// Errors: io if a file does not exist; bad_input if it lacks the columns, has no usable row, or
/// if its codes are near the lattice only with latitude and longitude exchanged.
[[nodiscard]] Result<PostalTable> read_postal_tables(const Recipe& recipe);

}  // namespace thirstline
