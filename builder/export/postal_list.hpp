// A list of postal codes in a file, looked up in a database.
//
// Either one code a line, or a table (CSV) with a header that names a column "postal" and, where
// codes of several countries may be meant, "country".
//
// Thread safety: pure, apart from reading; the Database belongs to one thread at a time.
#pragma once

#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The places in the database's order (by code, then country), each once.
/// Errors, naming file and line: io where the file cannot be read; bad_input where a row cannot be
/// read or the list is empty; usage for a code that no country has the like of, or that several
/// countries have; no_data for a code that the database does not know.
[[nodiscard]] Result<std::vector<PostalPlace>> read_postal_list(const std::string& path,
                                                                Database& database);

}  // namespace thirstline
