// A file of any of GDAL's file systems (plain, /vsizip/, /vsigzip/, /vsicurl/ …) as a byte source
// for a CsvReader.
#pragma once

#include <string>

#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// The path for GDAL: .gz and .zip through the file system that decompresses them; others
/// unchanged.
[[nodiscard]] std::string unpacked_path(const std::string& path);

/// A .gz or .zip file is decompressed. Errors: io if the file cannot be opened; `where`
/// ("merrow.toml:80") begins the message. The source itself returns bad_input for a damaged
/// archive.
[[nodiscard]] Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where);

}  // namespace thirstline
