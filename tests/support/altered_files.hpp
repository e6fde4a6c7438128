// Changes databases directly through SQLite, not through the writer.
#pragma once

#include <string>

namespace thirstline::test {

/// Runs SQL on a file (created if necessary); the test fails if SQLite does.
void run_on_file(const std::string& path, const std::string& sql);

/// Appends bytes to every tile and updates its checksum.
void extend_tiles(const std::string& path, int more_bytes);

/// Updates the checksum of every postal code and station.
void reseal_rows(const std::string& path);

/// Updates the content hash and the head's checksum to the current content.
void seal(const std::string& path);

}  // namespace thirstline::test
