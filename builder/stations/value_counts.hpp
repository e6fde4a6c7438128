// What the values of one variable of a source show together: that the unit is wrong, or that the
// table is a record of years.
#pragma once

#include <cstdint>
#include <string>

#include "builder/recipe/station_recipe.hpp"
#include "builder/stations/record_signs.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct ValueCounts {
    std::int64_t seen = 0;
    std::int64_t implausible = 0;
    std::int64_t repeated = 0;  ///< given before for the same station and month with a different
                                ///< value
    std::string example;        ///< the first implausible value as written, and its position
};

/// Errors (bad_input): most values are implausible; the message names the scale and offset, if the
/// recipe states them, and otherwise the unit.
[[nodiscard]] Result<void> check_unit(const ValueCounts& counts, const StationRecipe& recipe,
                                      const StationVariable& variable);

/// Errors (bad_input): most values repeat a station and month of another value. If the table has
/// signs of a record, one such value is enough.
[[nodiscard]] Result<void> check_repetition(const ValueCounts& counts, const StationRecipe& recipe,
                                            const StationVariable& variable, std::size_t files,
                                            const RecordSigns& signs);

}  // namespace thirstline
