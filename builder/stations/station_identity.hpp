// One station, one record: the rows of several tables and sources that mean the same station, found
// by country, name and position (ids are shared by hundreds of stations, and identify nothing).
//
// Rows are one station if they lie within 5 km and their names agree (letters and digits only, case
// aside) and their countries too where both name one. What then lies within 1 km and 60 m of
// elevation is one station whatever the names, unless its climates contradict each other: over the
// year a temperature that differs by more than 1.5 °C in the mean, or rain by more than half and
// 100 mm. Then one of the two positions is wrong, nothing tells which, and neither is used. (Seven
// such pairs stand in the world's 1991–2020 normals: one row bears the position of another.)
//
// Of several normals of one variable the one with the best record is kept: standard normal, then
// unstated, then short, then typical year; among equals the one with more months, then the first.
// Rows of one source that agree to 0.15 in every month fill each other's gaps. The bounds are our
// own.
#pragma once

#include "builder/stations/station_set.hpp"

namespace thirstline {

/// Makes one station of each group of rows, in the order of their first. All that is given up is
/// reported in the tallies.
void merge_stations(StationSet& set);

/// Can the two, of one variable, not both be of one place?
[[nodiscard]] bool contradict(const StationNormals& a, const StationNormals& b);

}  // namespace thirstline
