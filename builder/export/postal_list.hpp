// A list of postal codes in a file, looked up in a database.
//
// Either one code per line, or a table (CSV) with a header that has a column "postal" and, if there
// may be codes of several countries, "country".
//
// Thread safety: pure, except for reading; the Database belongs to one thread at a time.
#pragma once

#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The places in the database's order (by code, then country), each once. Errors, naming file and
/// line: io if the file cannot be read; bad_input if a row cannot be read or the list is empty;
/// usage for a code that is not in the form of any country, or that several countries have; no_data
/// for a code that is not in the database.
[[nodiscard]] Result<std::vector<PostalPlace>> read_postal_list(const std::string& path,
                                                                Database& database);

}  // namespace thirstline
