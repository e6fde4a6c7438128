// The files of a station source's path: the file itself, every file of a folder or of a zip
// archive, or those whose name matches a pattern. Works in all of GDAL's file systems; a name that
// ends in .gz is read through /vsigzip/, one in .zip through /vsizip/, automatically.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// Sorted by name; hidden files and folders in the folder are omitted. `where` begins an error
/// (io): no such file.
[[nodiscard]] Result<std::vector<std::string>> station_files(const std::string& path,
                                                             const std::string& where);

/// Whether the name matches the pattern. '*' matches any sequence of characters, '?' a single one.
[[nodiscard]] bool fits_pattern(std::string_view name, std::string_view pattern);

}  // namespace thirstline
