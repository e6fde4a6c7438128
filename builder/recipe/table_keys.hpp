// Keys of a recipe that say how a table of text is written, and which of its rows are read.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/table_format.hpp"
#include "builder/recipe/flag_meanings.hpp"
#include "builder/recipe/recipe_table.hpp"

namespace thirstline {

/// The keys encoding, separator, skip_rows, header, decimal and fixed_width.
[[nodiscard]] TableFormat read_table_format(RecipeTable& table, const std::string& table_name,
                                            const std::string& file, RecipeFaults& faults);

/// Each text, or list of texts, of a table such as where = { COLUMN = "value" }; sub-tables are
/// not read.
[[nodiscard]] std::vector<RowCondition> read_conditions(RecipeTable& where);

/// The key flags: the name of a set, or a table of flags and what each means. Nothing if absent.
[[nodiscard]] std::optional<FlagMeanings> read_flags(RecipeTable& table,
                                                     const std::string& table_name,
                                                     const std::string& file, RecipeFaults& faults);

}  // namespace thirstline
