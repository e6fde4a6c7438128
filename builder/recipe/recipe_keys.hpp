// Every key that a recipe may have, as data for its reference: `thirstline-builder recipe --keys`
// and the manual page thirstline-recipe(5). A test holds the list against the reading of recipes.
#pragma once

#include <span>
#include <string_view>

namespace thirstline {

struct RecipeKey {
    std::string_view key;
    std::string_view form;       ///< how its value is written: "text", "number", "{ … }"
    std::string_view otherwise;  ///< the default; "required"; empty: none
    std::string_view meaning;
};

struct RecipeKeyGroup {
    std::string_view table;  ///< "[baseline]", "columns of [[stations]]"
    std::string_view meaning;
    std::span<const RecipeKey> keys;
    /// Groups by name whose keys the table may also have; separated by ", ".
    std::string_view also;
};

/// In the order in which a recipe is usually written; the groups that several tables share last.
[[nodiscard]] std::span<const RecipeKeyGroup> recipe_key_groups();

}  // namespace thirstline
