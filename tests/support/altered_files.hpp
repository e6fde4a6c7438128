// Databases altered behind the writer's back, through SQLite's own interface.
#pragma once

#include <string>

namespace thirstline::test {

/// Runs SQL on a file (which is made if need be); the test fails if SQLite does.
void run_on_file(const std::string& path, const std::string& sql);

/// Gives every tile so many bytes more, and the checksum that fits.
void extend_tiles(const std::string& path, int more_bytes);

/// Gives every postal code and station the checksum that fits.
void reseal_rows(const std::string& path);

/// Makes the content hash and the head's checksum fit what the file holds now.
void seal(const std::string& path);

}  // namespace thirstline::test
