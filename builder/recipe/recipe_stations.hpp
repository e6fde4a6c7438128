// Reads one [[stations]] table of a recipe, and what [[records]] has in common with it.
#pragma once

#include <optional>
#include <string>

#include "builder/recipe/recipe.hpp"
#include "builder/recipe/recipe_table.hpp"
#include "builder/recipe/station_recipe.hpp"

namespace thirstline {

inline constexpr const char* kStationsTable = "[[stations]]";
inline constexpr const char* kRecordsTable = "[[records]]";

/// An error becomes the table's first error, as everywhere in a recipe. `recipe` is the part read
/// so far: its path and its baseline.
[[nodiscard]] StationRecipe read_stations(RecipeTable table, const Recipe& recipe,
                                          const std::string& file, RecipeFaults& faults);

/// The keys of both tables that say where the values are and how they are written.
void read_table_keys(RecipeTable& table, const std::string& table_name, const Recipe& recipe,
                     const std::string& file, RecipeFaults& faults, StationRecipe& stations);

/// The keys of both tables that say what is in the columns, and the keys of wind and ETo. Those of
/// dates are read if `stations` has a record.
void read_variable_keys(RecipeTable& table, const Recipe& recipe, const std::string& file,
                        RecipeFaults& faults, StationRecipe& stations);

}  // namespace thirstline
