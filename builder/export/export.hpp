// Exports a database, or a part of it, to another format.
//
// Thread safety: one export at a time per process (GDAL's block cache is shared by the process).
#pragma once

#include <atomic>
#include <optional>
#include <string>
#include <vector>

#include "builder/export/format_writers.hpp"
#include "builder/export/site_selection.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct ExportOptions {
    std::string output;
    SelectionOptions selection;
    std::vector<std::string> variables;  ///< names of layers; empty: all
    std::optional<int> lattice_id;       ///< empty: all, or the only one
    int page_bytes = 0;                  ///< ExportJob::page_bytes; other than 0 for images only
    bool with_gradients = false;         ///< ExportJob::with_gradients; for images only
};

/// Writes the output and nothing else; an existing file is replaced. Errors: those of
/// SiteSelection::make and of the format; usage for a variable or lattice that the format does not
/// support or the database does not have, and if one of several lattices must be chosen.
[[nodiscard]] Result<void> run_export(Database& database, const ExportFormat& format,
                                      const ExportOptions& options,
                                      const std::atomic<bool>& interrupted);

}  // namespace thirstline
