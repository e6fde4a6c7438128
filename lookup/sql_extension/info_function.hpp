// The SQL function thirstline_info: what a file says of itself, in one row.
#pragma once

#include <memory>

#include "lookup/sql_extension/files_of_connection.hpp"
#include "lookup/sql_extension/sql_function.hpp"

namespace thirstline {

/// thirstline_info(file). Errors of a call: those of the argument, of Database::open and of
/// reading.
[[nodiscard]] SqlFunction info_function(std::shared_ptr<FilesOfConnection> files);

}  // namespace thirstline
