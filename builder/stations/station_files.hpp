// The files of a station source's path: the file itself, every file of a folder or of an archive
// (zip or tar), or those whose name matches a pattern. Works in all of GDAL's file systems; a name
// that ends in .gz is read through /vsigzip/ automatically.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Sorted by name; hidden files and folders in the folder are omitted. An archive is one file,
/// whatever it holds. `where` begins an error (io): no such file.
[[nodiscard]] Result<std::vector<std::string>> station_files(const std::string& path,
                                                             const std::string& where);

/// `file` is the path of a table; of one in an archive, after that of the archive and a slash.
using TableVisitor = std::function<Result<void>(const std::string& file, ByteSource bytes)>;

/// Calls `visit` for each table of the path: files in the order of their names, those of an archive
/// in its own order, in one pass. Ends with the first error of `visit`, or its own: as above, or
/// bad_input for a damaged archive.
[[nodiscard]] Result<void> visit_station_tables(const std::string& path, const std::string& where,
                                                const TableVisitor& visit);

/// The error of the last of `files`, which were read from the path, with the archive that it is in.
/// An archive as a whole is one table; where its files differ, the path must name those wanted.
[[nodiscard]] Error within_archive(Error error, const std::string& path,
                                   const std::vector<std::string>& files);

}  // namespace thirstline
