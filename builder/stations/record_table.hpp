// Reads a source of records, [[records]] of a recipe: tables of single days or months. Their values
// become one a year and month, and these become normals (builder/records).
//
// Rows are read as those of tables of normals are (station_rows.hpp), in one pass: of a finished
// month of a station 16 bytes are kept for each variable. A station that moved becomes another
// station: rows of one id, or of one name without an id, are of one station if their positions are
// within 1 km and 60 m of elevation. Values with a rejected flag, and those that are not possible
// on a day, are not used. Of a day given twice the value is used once if both are equal, and not
// at all otherwise. All are reported by line, and void months by station, month and year.
#pragma once

#include "builder/stations/station_rows.hpp"

namespace thirstline {

/// `source` is the value of StationNormals::source. The recipe must have `record`.
/// Errors: those of StationRows::read; bad_input if most rows have no date of the recipe's step, if
/// most days or months are given more than once, if most values of a variable show that its unit is
/// wrong, or if there is not a single normal.
[[nodiscard]] Result<StationTable> read_record_table(const StationRecipe& recipe, int source,
                                                     const UsedRegion& region);

}  // namespace thirstline
