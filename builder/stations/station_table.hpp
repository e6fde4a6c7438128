// Reads a source of stations: its files, their rows, the units, and what no row can be.
//
// A row whose position is impossible is left aside whole; an impossible elevation counts as
// unknown; a value that no climate has is left aside alone, and so is a year of twelve equal
// months. All are reported by line. Nothing is merged here: a station that stands in two tables
// comes out twice (station_identity.hpp); only the months of a "long" table are brought together,
// wherever they stand.
#pragma once

#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "builder/stations/station.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct StationTable {
    std::vector<Station> stations;  ///< in the order of the files' names, and of their rows
    SourceTally tally;              ///< `used` counts months of normals
    std::int64_t rows_read = 0;
    std::vector<std::string> files;  ///< as GDAL's file systems spell them
};

/// `source` is what StationNormals::source will be.
/// Errors: io where a file is not there; bad_input where a column is missing (the nearest is
/// named), where most values of a variable are such that its unit cannot be right, or where not one
/// station can be used.
[[nodiscard]] Result<StationTable> read_station_table(const StationRecipe& recipe, int source);

}  // namespace thirstline
