// How long a normal's record is, from what a table and its source say of it.
#pragma once

#include <string_view>

#include "builder/stations/station.hpp"

namespace thirstline {

/// From the years that stand behind the value: 24 of a normal's thirty, 80 % (WMO-No. 1203, second
/// hand), make a standard normal.
[[nodiscard]] RecordLength length_of_years(double years);

/// From a completeness flag as NCEI writes them (from memory): C complete and S standard are
/// normals of thirty years; R representative, P provisional, Q quasi-normal and E estimated stand
/// for less. Nothing is said by any other flag.
[[nodiscard]] RecordLength length_of_flag(std::string_view flag);

/// From the period of a source: "typical" or "TMY" in it, in any case, is a typical year; first and
/// last year, as in "2006-2020", tell a short record; otherwise nothing is said of the single
/// station.
[[nodiscard]] RecordLength length_of_period(std::string_view period);

}  // namespace thirstline
