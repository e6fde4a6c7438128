// What a file itself says its numbers are, held against what the recipe says, by UDUNITS.
//
// Thread safety: UDUNITS has shared state; one thread at a time.
#pragma once

#include <string_view>

#include "builder/grids/variables_and_units.hpp"

namespace thirstline {

enum class FileUnit {
    agrees,       ///< the same unit, however spelled
    contradicts,  ///< another quantity, or the same one on another scale
    unreadable,   ///< UDUNITS makes nothing of it
};

/// `unit` is one of units_of(variable). Mass of water over an area counts as its depth (kg m-2 is
/// mm). A unit that leaves out "per month" or "per day" agrees with one that has it where there is
/// only one way to read it: mm with mm/month, h with h/day, MJ m-2 with MJ/m2/day.
[[nodiscard]] FileUnit compare_file_unit(Variable variable, std::string_view unit,
                                         std::string_view unit_in_file);

}  // namespace thirstline
