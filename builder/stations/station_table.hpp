// Reads a source of stations: its files, rows and units. Rejects what cannot be correct in a row.
//
// A row with an impossible position is rejected completely; an impossible elevation is unknown; a
// value that is not possible in any climate is rejected alone, and so is a year of twelve equal
// months. All are reported by line. Stations are not merged here: a station in two tables is
// returned twice (station_identity.hpp); only the months of a "long" table are combined, wherever
// they are.
#pragma once

#include "builder/recipe/station_recipe.hpp"
#include "builder/stations/station_rows.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// `source` is the value of StationNormals::source.
/// A file may lack the columns of a variable, if another has them; the numbers of such files are in
/// files_without.
/// Errors: io if a file does not exist; bad_input if a column is missing (the nearest is named), if
/// no row is chosen, if no key has a position, if most values of a variable show that its unit is
/// wrong, or if not a single station can be used.
[[nodiscard]] Result<StationTable> read_station_table(const StationRecipe& recipe, int source,
                                                      const UsedRegion& region);

}  // namespace thirstline
