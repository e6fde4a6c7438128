// Reads one [[records]] table of a recipe: tables of single days or months, which the builder makes
// into normals.
#pragma once

#include "builder/recipe/recipe_stations.hpp"

namespace thirstline {

/// As read_stations (recipe_stations.hpp); the result has `record`.
[[nodiscard]] StationRecipe read_records(RecipeTable table, const Recipe& recipe,
                                         const std::string& file, RecipeFaults& faults);

}  // namespace thirstline
