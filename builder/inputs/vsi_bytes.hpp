// A file of any of GDAL's file systems (plain, /vsizip/, /vsigzip/, /vsicurl/ …) as a source of
// bytes for a CsvReader.
#pragma once

#include <string>

#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Errors: io where the file cannot be opened; `where` ("merrow.toml:80") begins the message. The
/// source itself says bad_input where an archive is damaged.
[[nodiscard]] Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where);

}  // namespace thirstline
