// Positions of the columns that a recipe names in a table's rows.
#pragma once

#include <string>
#include <vector>

#include "builder/inputs/text_encoding.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Counted from 0; −1 for columns that the recipe does not name.
struct StationColumns {
    struct OfVariable {
        int value = -1;  ///< by_month only
        int years = -1;
        int flag = -1;
    };
    int station = -1;
    int name = -1;
    int country = -1;
    int lat = -1;
    int lon = -1;
    int elevation = -1;
    int month = -1;         ///< by_month only
    Monthly<int> months{};  ///< wide only
    std::vector<OfVariable> variables;
    std::size_t count = 0;  ///< of the header's fields
};

/// Spaces around the header's fields are ignored.
/// Errors (bad_input): a missing column; the message names the nearest.
[[nodiscard]] Result<StationColumns> station_columns(const CsvRow& header,
                                                     const StationRecipe& recipe,
                                                     const std::string& file,
                                                     const TextRecoder& recoder);

}  // namespace thirstline
