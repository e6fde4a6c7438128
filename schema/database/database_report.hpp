// The commands `info` and `verify` of both programs: a file's description of itself, and whether it
// is intact.
//
// Thread safety: a Database belongs to one thread at a time.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// For people: lines of "name  value", and each source with its licence and attribution.
[[nodiscard]] Result<std::string> database_info_text(Database& database);

/// The same as one JSON object, indented by two blanks, with a final newline.
[[nodiscard]] Result<std::string> database_info_json(Database& database);

struct Verified {
    std::int64_t bytes = 0;
    std::int64_t tiles = 0;
    std::int64_t points = 0;
    std::int64_t postal_codes = 0;
    std::string incomplete;  ///< what a file of some parts lacks; empty for a complete one
};

/// Reads everything that an answer can depend on: SQLite's own structure, all tables' rows and
/// ranges, all tiles' keys, checksums, content, method codes and periods, all postal codes and
/// stations, and the content hash. Bytes of the file that no table uses are not checked. The first
/// fault is the Error (bad_database), naming table and row.
[[nodiscard]] Result<Verified> verify_database(Database& database);

/// One line, such as "OK: 412 tiles, 23104 points, 41490 postal codes, 5132288 bytes", and what an
/// incomplete file lacks.
[[nodiscard]] std::string verified_text(const Verified& verified);

}  // namespace thirstline
