// Record length of a normal, from its table and source.
#pragma once

#include <string_view>

#include "builder/stations/station.hpp"

namespace thirstline {

/// From the number of years of the value: 24 of a normal's thirty, 80 % (WMO-No. 1203, second
/// hand), make a standard normal.
[[nodiscard]] RecordLength length_of_years(double years);

/// From a completeness flag in NCEI's notation (from memory): C complete and S standard are normals
/// of thirty years; R representative, P provisional, Q quasi-normal and E estimated have fewer. Any
/// other flag gives no information.
[[nodiscard]] RecordLength length_of_flag(std::string_view flag);

/// From the period of a source: "typical" or "TMY" in it, in any case, is a typical year; a first
/// and last year, as in "2006-2020", give a short record if the period is short; otherwise the
/// period gives no information about a single station.
[[nodiscard]] RecordLength length_of_period(std::string_view period);

}  // namespace thirstline
