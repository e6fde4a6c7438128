// The SQL function thirstline_points: what a file holds at its lattice points, a row a point and
// month, like the view `profile` of a plain file (FORMAT.md), for plain and compact files.
#pragma once

#include <memory>

#include "lookup/sql_extension/files_of_connection.hpp"
#include "lookup/sql_extension/sql_function.hpp"

namespace thirstline {

/// thirstline_points(file[, west, south, east, north]), in degrees, edges included; a box whose
/// west is greater than its east crosses the antimeridian. Conditions on lat, lon and tile_key
/// avoid reading other tiles. Errors of a call: those of the arguments, of Database::open and of
/// reading.
[[nodiscard]] SqlFunction points_function(std::shared_ptr<FilesOfConnection> files);

}  // namespace thirstline
