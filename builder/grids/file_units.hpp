// Compares the unit stated in a file with the recipe's unit, using UDUNITS.
//
// Thread safety: UDUNITS has shared state; one thread at a time.
#pragma once

#include <string_view>

#include "builder/grids/variables_and_units.hpp"

namespace thirstline {

enum class FileUnit {
    agrees,       ///< the same unit in any spelling
    contradicts,  ///< another quantity, or the same one on another scale
    unreadable,   ///< UDUNITS cannot parse it
};

/// `unit` is one of units_of(variable). Mass of water over an area counts as its depth (kg m-2 is
/// mm). A unit without "per month" or "per day" agrees with one that has it if there is only one
/// possible meaning: mm with mm/month, h with h/day, MJ m-2 with MJ/m2/day.
[[nodiscard]] FileUnit compare_file_unit(Variable variable, std::string_view unit,
                                         std::string_view unit_in_file);

}  // namespace thirstline
