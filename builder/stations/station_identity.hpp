// Merges the rows of several tables and sources that mean the same station into one record. They
// are identified by country, name and position (ids are shared by hundreds of stations and identify
// nothing).
//
// Rows are one station if they are within 5 km and their names agree (letters and digits only,
// ignoring case) and their countries too if both have one. Rows that are then within 1 km and 60 m
// of elevation are one station whatever the names, unless their climates contradict each other:
// over the year a temperature that differs by more than 1.5 °C in the mean, or rain by more than
// half and 100 mm. Then one of the two positions is wrong, it is unknown which, and neither is
// used. (The world's 1991–2020 normals contain seven such pairs: one row has the position of
// another.)
//
// Of several normals of one variable the one with the best record is kept: standard normal, then
// unstated, then short, then typical year; among equals the one with more months, then the first.
// Rows of one source that agree to 0.15 in every month fill each other's gaps. The limits are our
// own.
#pragma once

#include "builder/stations/station_set.hpp"

namespace thirstline {

/// Merges each group of rows into one station, in the order of their first rows. All values that
/// are dropped are reported in the tallies.
void merge_stations(StationSet& set);

/// Whether the two, of one variable, cannot both be from one place.
[[nodiscard]] bool contradict(const StationNormals& a, const StationNormals& b);

}  // namespace thirstline
