// The SQL functions thirstline_site and thirstline_postal: a site's year, a row a month, with the
// numbers that `thirstline-lookup site` prints.
#pragma once

#include <memory>

#include "lookup/sql_extension/files_of_connection.hpp"
#include "lookup/sql_extension/sql_function.hpp"

namespace thirstline {

/// thirstline_site(file, lat, lon[, elevation_m]). No rows where the file has no data, and for NULL
/// coordinates. Errors of a call: those of the arguments, of Database::open and of reading.
[[nodiscard]] SqlFunction site_function(std::shared_ptr<FilesOfConnection> files);

/// thirstline_postal(file, code[, country[, elevation_m]]). No rows for a code that is not in the
/// file, and for a NULL code. Errors of a call: as above, and a code that several countries have.
[[nodiscard]] SqlFunction postal_function(std::shared_ptr<FilesOfConnection> files);

}  // namespace thirstline
