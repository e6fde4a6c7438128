#include "builder/commands/recipe_options.hpp"

#include <cpl_conv.h>

#include <CLI/App.hpp>

#include "builder/fetch/fetch.hpp"

namespace thirstline {

namespace {

/// A dataset may name others in the network. GDAL then looks for this one, which is not there.
void forbid_network() {
    CPLSetConfigOption("CPL_VSIL_CURL_ALLOWED_FILENAME", "/vsicurl/none");
}

}  // namespace

void declare_recipe_options(CLI::App& app, RecipeOptions& options) {
    app.add_option("recipe", options.recipe, "recipe, in TOML")->type_name("RECIPE")->required();
    app.add_option("--data", options.data_folder,
                   "folder that {data} means in the recipe; default: the recipe's name with "
                   "the ending .data, beside it")
        ->type_name("FOLDER")
        ->group("Downloads");
    app.add_flag("--offline", options.offline,
                 "read nothing from the network, and only downloads with the checksums of the "
                 "lock file that fetch wrote")
        ->group("Downloads");
}

Result<Recipe> recipe_to_build(const RecipeOptions& options, Progress& progress) {
    auto recipe = TRY(read_recipe(options.recipe, options.data_folder));
    if (options.offline) {
        forbid_network();
        TRY(refuse_unlocked_files(recipe, progress));
    } else {
        TRY(refuse_missing_files(recipe));
    }
    return recipe;
}

}  // namespace thirstline
