// The content hash: SHA-256 over a canonical dump of a file's tables, kept in its metadata under
// "content_sha256". Two files with the same content have the same hash, whatever SQLite wrote them.
//
// The dump: for each table in the order metadata, lattice, layer, source, source_rejection,
// source_file, period, method, tile, postal: the line "table NAME\n"; then each row by ascending
// primary key, each column in order as a type letter and the value: i + decimal + "\n" for integers;
// t or b + length in bytes + ":" + the bytes + "\n" for text and blobs. The metadata row
// "content_sha256" itself is left out.
//
// Thread safety: the connection belongs to one thread at a time.
#pragma once

#include <string>

#include "schema/result.hpp"

struct sqlite3;

namespace thirstline {

/// 64 hexadecimal digits. Errors are those of reading the tables.
[[nodiscard]] Result<std::string> content_sha256(sqlite3* connection, const std::string& path);

}  // namespace thirstline
