// What changed from one database to another, as one page without a script: `compare --format html`.
#pragma once

#include <atomic>
#include <string>

#include "builder/compare/comparison.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// `comparison` is that of both databases. All texts of the data are escaped.
/// Errors: those of change_raster_of.
[[nodiscard]] Result<std::string> comparison_page(const DatabaseComparison& comparison,
                                                  Database& before, Database& after,
                                                  const std::atomic<bool>& interrupted);

}  // namespace thirstline
