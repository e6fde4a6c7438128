// The reference of a recipe: its keys (recipe/recipe_keys.hpp), variables and units.
#pragma once

#include <string>

namespace thirstline {

/// For a terminal, in lines of at most 80 columns.
[[nodiscard]] std::string recipe_reference_text();

/// Source of the manual page thirstline-recipe(5), for man(7).
[[nodiscard]] std::string recipe_reference_man();

}  // namespace thirstline
