// The whole database in the forms in which others take it, beside the page.
//
// Thread safety: one at a time in a process (GDAL's block cache is the process's).
#pragma once

#include <atomic>
#include <string>
#include <string_view>
#include <vector>

#include "builder/publish/site_folder.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct Download {
    PublishedFile file;
    std::string form;  ///< "database", "image", "csv", "geotiff", "stations"
};

/// The database as it is, the image with all that images hold, the table (zipped, with its text of
/// sources), the GeoTIFF where there is one lattice, and the table of stations where there are any.
/// Errors: those of the exports; interrupted.
[[nodiscard]] Result<std::vector<Download>> write_downloads(SiteFolder& folder, Database& database,
                                                            const std::atomic<bool>& interrupted);

/// A file name's stem of a title: small letters and digits of ASCII with hyphens between words, at
/// most 40; "thirstline" where nothing is left.
[[nodiscard]] std::string file_stem_of(std::string_view title);

}  // namespace thirstline
