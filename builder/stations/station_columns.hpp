// Where in a table's rows each thing stands that a recipe names.
#pragma once

#include <string>
#include <vector>

#include "builder/inputs/text_encoding.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Counted from 0; −1 for what the recipe does not name.
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

/// Blank padding of the header's fields does not count.
/// Errors (bad_input): a column that is not there; the message names the nearest.
[[nodiscard]] Result<StationColumns> station_columns(const CsvRow& header,
                                                     const StationRecipe& recipe,
                                                     const std::string& file,
                                                     const TextRecoder& recoder);

}  // namespace thirstline
