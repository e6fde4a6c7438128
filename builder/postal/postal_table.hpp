// Postal codes and their centroids, from the tables that a recipe names.
//
// Codes are kept in normal form (schema/database/postal_codes.hpp). Several rows of one code in one
// table are its several places: the middle one, by the median of latitude and of longitude, stands
// for the code. Where two tables hold a code, the first in the recipe speaks. What cannot be used,
// and what is odd, is reported by line.
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

/// Errors: io where a file is not there; bad_input where it has no such columns, or no row that can
/// be used.
[[nodiscard]] Result<PostalTable> read_postal_tables(const Recipe& recipe);

}  // namespace thirstline
