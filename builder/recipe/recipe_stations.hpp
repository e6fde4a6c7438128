// Reads one [[stations]] table of a recipe.
#pragma once

#include <optional>
#include <string>

#include "builder/recipe/recipe.hpp"
#include "builder/recipe/recipe_table.hpp"
#include "builder/recipe/station_recipe.hpp"

namespace thirstline {

/// An error becomes the table's first error, as everywhere in a recipe. `recipe` is the part read
/// so far: its path and its baseline.
[[nodiscard]] StationRecipe read_stations(RecipeTable table, const Recipe& recipe,
                                          const std::string& file,
                                          std::optional<Error>& first_error);

}  // namespace thirstline
