// The formats of an export, one function each. Every one streams, carries the provenance along, and
// puts its file in place only when it is whole.
//
// Errors of all: bad_database and those of reading the file; io where the output cannot be written,
// with nothing left behind; no_data where nothing of the selection holds data; interrupted.
//
// Thread safety: one export at a time in a process.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/export/export_job.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// A database that answers for every site of the selection as the whole one does, to the last
/// digit. With everything selected it holds everything.
[[nodiscard]] Result<void> export_sqlite(const ExportJob& job);

/// A row a point and month. What must be said with it goes into a text file beside it.
[[nodiscard]] Result<void> export_csv(const ExportJob& job);

/// Twelve bands a variable (one for the elevation and the period), with names, units, scales and
/// months; a cloud-optimised GeoTIFF in WGS 84. Of one lattice.
[[nodiscard]] Result<void> export_geotiff(const ExportJob& job);

/// CF-1.8, twelve climatological months. Of one lattice.
/// Errors, besides: bad_input where the baseline's period names no years.
[[nodiscard]] Result<void> export_netcdf(const ExportJob& job);

/// Layers "points", "postal_codes" and "sources", in WGS 84.
[[nodiscard]] Result<void> export_geopackage(const ExportJob& job);

/// The embedded image: one flat file that firmware and apps read without SQLite. See
/// schema/IMAGE.md. Like a database it answers for every site of the selection as the whole does.
/// Errors, besides: usage without eto and rain; bad_input for what images cannot hold: over 4 GB,
/// postal codes over 15 letters.
[[nodiscard]] Result<void> export_image(const ExportJob& job);
/// Such an image in memory, for small parts. Errors: those of export_image but io.
[[nodiscard]] Result<std::string> image_bytes_without_postal_codes(const ExportJob& job);

/// Can an image hold this layer, and does it if nobody chose?
[[nodiscard]] bool image_holds(LayerId id);
[[nodiscard]] bool image_holds_by_default(LayerId id);

struct ExportFormat {
    std::string_view name;  ///< as --as takes it
    Result<void> (*write)(const ExportJob&);
    bool is_database;        ///< keeps every layer and lattice
    bool keeps_neighbours;   ///< and with them the answers for every site of the selection
    bool is_of_one_lattice;  ///< cannot hold several lattices
    const char* side_file;  ///< what takes the place of the output's ending in a second file's name
    bool (*holds)(LayerId) = nullptr;             ///< null: every layer of points
    bool (*holds_by_default)(LayerId) = nullptr;  ///< null: all that it can
};

/// In the order of the help. A new format is a function and a line here.
[[nodiscard]] const std::vector<ExportFormat>& export_formats();

/// The path of the file that goes with the output; empty if the format has none.
[[nodiscard]] std::string side_file_of(const ExportFormat& format, const std::string& output);

}  // namespace thirstline
