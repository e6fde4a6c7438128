// What a file says of itself, and whether it is whole: the commands `info` and `verify` of both
// programs.
//
// Thread safety: a Database belongs to one thread at a time.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// For people: lines of "name  value", sources with their licence and attribution.
[[nodiscard]] Result<std::string> database_info_text(Database& database);

/// The same as one JSON object, indented by two blanks, with a final newline.
[[nodiscard]] Result<std::string> database_info_json(Database& database);

struct Verified {
    std::int64_t bytes = 0;
    std::int64_t tiles = 0;
    std::int64_t points = 0;
    std::int64_t postal_codes = 0;
};

/// Reads all that an answer can come from: SQLite's own structure, every table's rows and ranges,
/// every tile's key, checksum, content, method codes and periods, every postal code and station,
/// and the content hash. Bytes of the file that no table uses are not looked at. The first fault is
/// the Error (bad_database), naming table and row.
[[nodiscard]] Result<Verified> verify_database(Database& database);

/// One line, such as "OK: 412 tiles, 23104 points, 41490 postal codes, 5132288 bytes".
[[nodiscard]] std::string verified_text(const Verified& verified);

}  // namespace thirstline
