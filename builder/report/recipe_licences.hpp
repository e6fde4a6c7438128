// What the licences of a recipe's sources, or of a file's, allow together.
#pragma once

#include <vector>

#include "builder/licences/licences.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// Elevation and postal codes count if the recipe names them as sources.
/// Errors: those of Licences::known.
[[nodiscard]] Result<LicenceSummary> licences_of(const Recipe& recipe);
[[nodiscard]] Result<LicenceSummary> licences_of(const std::vector<Source>& sources);

}  // namespace thirstline
