// Exports in the test's own process, and checks of their files.
#pragma once

#include <memory>
#include <string>

#include "builder/export/export.hpp"
#include "schema/database/database.hpp"

namespace thirstline::test {

/// SQL that changes one byte in the middle of a tile in the middle of the table.
inline constexpr const char* kDamageOfATile =
    "UPDATE tile SET data = CAST(substr(data, 1, 60) || x'7a7b' || substr(data, 63) AS BLOB) "
    "WHERE tile_key = (SELECT tile_key FROM tile LIMIT 1 OFFSET (SELECT count(*) / 2 FROM tile))";

/// run_export of a file, in the named format.
[[nodiscard]] Result<void> exported(const std::string& database, std::string_view format,
                                    const ExportOptions& options);

/// Opens a file; fails the test and throws if it cannot be opened.
[[nodiscard]] std::unique_ptr<Database> opened(const std::string& path);

/// Expects the file to pass verification.
void expect_whole(const std::string& path);

/// Everything reported for a site, as one comparable text.
[[nodiscard]] std::string answer_text(Database& database, LatLonE7 site);

}  // namespace thirstline::test
