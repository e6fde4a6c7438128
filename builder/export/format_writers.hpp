// The export formats, one function each. Each one streams, includes the provenance, and moves its
// file into place only when it is complete.
//
// Errors of all: bad_database and those of reading the file; io if the output cannot be written,
// with nothing left behind; no_data if no selected point has data; interrupted.
//
// Thread safety: one export at a time per process.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/export/export_job.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// A database that answers for every site of the selection as the whole one does, to the last
/// digit. With everything selected it contains everything.
[[nodiscard]] Result<void> export_sqlite(const ExportJob& job);

/// One row per point and month. The required notices go into a text file next to it.
[[nodiscard]] Result<void> export_csv(const ExportJob& job);

/// Twelve bands per variable (one for the elevation and the period), with names, units, scales and
/// months; a cloud-optimised GeoTIFF in WGS 84. One lattice only.
[[nodiscard]] Result<void> export_geotiff(const ExportJob& job);

/// CF-1.8, twelve climatological months. One lattice only. Additional errors: bad_input if the
/// baseline's period contains no years.
[[nodiscard]] Result<void> export_netcdf(const ExportJob& job);

/// Layers "points", "postal_codes", "stations" (if any were used) and "sources", in WGS 84.
[[nodiscard]] Result<void> export_geopackage(const ExportJob& job);

/// The embedded image: one flat file that firmware and apps read without SQLite. See
/// schema/IMAGE.md. Like a database, it answers for every site of the selection as the whole does.
/// Additional errors: usage without eto and rain; bad_input for what images cannot contain: over 4
/// GB, postal codes over 15 letters.
[[nodiscard]] Result<void> export_image(const ExportJob& job);
/// The same in memory, for small parts. Errors: those of export_image except io.
[[nodiscard]] Result<std::string> image_bytes_without_postal_codes(const ExportJob& job);

/// Whether an image can contain this layer, and whether it does by default.
[[nodiscard]] bool image_holds(LayerId id);
[[nodiscard]] bool image_holds_by_default(LayerId id);

struct ExportFormat {
    std::string_view name;  ///< name for --as
    Result<void> (*write)(const ExportJob&);
    bool is_database;       ///< keeps every layer and lattice
    bool keeps_neighbours;  ///< and thus the answers for every site of the selection
    bool is_raster;         ///< of one lattice; its numbers are ExportJob::raster_variables
    const char* side_file;  ///< suffix that replaces the output's extension in the name of a second
                            ///< file
    bool (*holds)(LayerId) = nullptr;             ///< null: every layer of points
    bool (*is_default_layer)(LayerId) = nullptr;  ///< null: all that it can contain
    bool is_image = false;                        ///< has ExportJob::page_bytes and gradients
};

/// In the order of the help. A new format is a function and a row here.
[[nodiscard]] const std::vector<ExportFormat>& export_formats();

/// The path of the output's second file; empty if the format has none.
[[nodiscard]] std::string side_file_of(const ExportFormat& format, const std::string& output);

}  // namespace thirstline
