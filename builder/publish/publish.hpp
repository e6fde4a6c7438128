// Publishes a database as a folder of files for a static host: a page that answers for any site in
// the browser, a report on the methods and data, and downloads.
//
// Thread safety: one at a time per process (GDAL's block cache is shared by the process).
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "builder/publish/downloads.hpp"
#include "builder/publish/page_assets.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/signature/file_signing.hpp"

namespace thirstline {

struct PublishOptions {
    std::string folder;
    bool overwrite = false;
    std::vector<std::string> evaluation_files;  ///< outputs of `evaluate --format json`
    std::vector<std::string> recipe_files;      ///< their names are those of the report's commands
    std::string previous_database;              ///< for "What changed"; empty: none
    std::vector<std::string> downloads = default_downloads();
    std::vector<std::string> ground_files = {};  ///< vector files below the page's map
    /// Signs the database among the downloads, and the list of all files.
    std::optional<SecretKey> signing_key = std::nullopt;
};

struct PublishOutcome {
    std::int64_t points = 0;
    std::int64_t areas = 0;
    std::int64_t largest_area_bytes = 0;
    std::int64_t area_bytes = 0;
    std::int64_t postal_codes = 0;
    std::int64_t postal_files = 0;
    std::int64_t files = 0;
    std::int64_t bytes = 0;  ///< total of all files
};

/// Moves the whole folder into place, or changes nothing. The same inputs give the same bytes.
/// Errors: those of SiteFolder, of reading the inputs and of exports; no_data for a database
/// without points; interrupted.
[[nodiscard]] Result<PublishOutcome> publish(Database& database, const PageAssets& assets,
                                             const PublishOptions& options,
                                             const std::atomic<bool>& interrupted);

}  // namespace thirstline
