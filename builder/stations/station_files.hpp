// The files behind a station source's path: the file itself, every file of a folder or of a zip
// archive, or those whose name fits a pattern. In all of GDAL's file systems; a name that ends in
// .gz is read through /vsigzip/, one in .zip through /vsizip/, without being told.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// Sorted by name; hidden files and folders within the folder left out. `where` begins an error
/// (io): nothing there.
[[nodiscard]] Result<std::vector<std::string>> station_files(const std::string& path,
                                                             const std::string& where);

/// Does the name fit the pattern? '*' stands for any run of characters, '?' for one.
[[nodiscard]] bool fits_pattern(std::string_view name, std::string_view pattern);

}  // namespace thirstline
