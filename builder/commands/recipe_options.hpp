// Options of the commands that read a recipe, and what must hold before its sources are opened.
#pragma once

#include <string>

#include "builder/progress/progress.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace CLI {
class App;
}

namespace thirstline {

struct RecipeOptions {
    std::string recipe;
    std::string data_folder;  ///< empty: beside the recipe
    bool offline = false;
};

/// The argument RECIPE, --data and --offline.
void declare_recipe_options(CLI::App& app, RecipeOptions& options);

/// The recipe, of whose data folder no file is missing; offline, every file is the locked one and
/// GDAL reads nothing from the network from now on.
/// Errors: those of read_recipe, refuse_missing_files and refuse_unlocked_files.
[[nodiscard]] Result<Recipe> recipe_to_build(const RecipeOptions& options, Progress& progress);

}  // namespace thirstline
