// A file of any of GDAL's file systems (plain, /vsizip/, /vsigzip/, /vsicurl/ …) as a byte source
// for a CsvReader.
#pragma once

#include <string>

#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// The file that a path is read from, as it is stored and as its checksum is computed: of a file in
/// an archive, the archive; others, .gz among them, are the path itself.
[[nodiscard]] std::string input_file(const std::string& path);

/// In any of GDAL's file systems.
[[nodiscard]] bool is_folder(const std::string& path);

/// A path's last part, for messages.
[[nodiscard]] std::string file_name_of(const std::string& path);

/// A .gz file is decompressed; of an archive, the only file is read, or the one that the path names
/// after the archive ("US.zip/US.txt"). Errors: io if the file cannot be opened, bad_input for an
/// archive of several files; `where` ("merrow.toml:80") begins the message. The source itself
/// returns bad_input for a damaged file.
[[nodiscard]] Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where);

}  // namespace thirstline
