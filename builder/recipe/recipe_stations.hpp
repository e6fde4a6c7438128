// Reads one [[stations]] table of a recipe.
#pragma once

#include <optional>
#include <string>

#include "builder/recipe/recipe.hpp"
#include "builder/recipe/recipe_table.hpp"
#include "builder/recipe/station_recipe.hpp"

namespace thirstline {

/// Errors go into the table's first error, as for all of a recipe.
/// `recipe` is what has been read of it: its path and its baseline.
[[nodiscard]] StationRecipe read_stations(RecipeTable table, const Recipe& recipe,
                                          const std::string& file,
                                          std::optional<Error>& first_error);

}  // namespace thirstline
