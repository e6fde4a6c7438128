// The whole database in formats for other programs, next to the page.
//
// Thread safety: one at a time per process (GDAL's block cache is shared by the process).
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
    std::string form;  ///< "database", "image", "csv", "geotiff", "netcdf" …, "stations"
};

/// The words of `publish --downloads`, in the order in which downloads are listed.
[[nodiscard]] const std::vector<std::string_view>& download_words();
[[nodiscard]] const std::vector<std::string>& default_downloads();

/// Those of `words`: "sqlite", the database itself; "image", with all layers that images can
/// contain; "csv", zipped, with its text of sources; "geotiff" and "netcdf", if there is one
/// lattice; "geopackage"; "stations", if there are any.
/// Errors: those of the exports; interrupted.
[[nodiscard]] Result<std::vector<Download>> write_downloads(SiteFolder& folder, Database& database,
                                                            const std::vector<std::string>& words,
                                                            const std::atomic<bool>& interrupted);

/// A file name without extension made from a title: small ASCII letters and digits with hyphens
/// between words, at most 40 characters; "thirstline" if nothing remains.
[[nodiscard]] std::string file_stem_of(std::string_view title);

}  // namespace thirstline
