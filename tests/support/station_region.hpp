// An invented region of plain grids with sixteen stations over it.
#pragma once

#include <functional>
#include <string>

#include "tests/support/invented_region.hpp"

namespace thirstline::test {

/// What a station reports, in the unit of computation (wind at 2 m).
using StationField = std::function<double(Variable variable, int station, LatLon at, int month)>;

/// The plain climate at every station, so that the grids are right.
[[nodiscard]] double plain_station(Variable variable, int station, LatLon at, int month);

inline constexpr int kStationsOfRegion = 16;
[[nodiscard]] LatLon station_position(int station);

/// Station 5 is in Oddland, the others in Merrow.
inline constexpr int kOddStation = 5;

/// Writes grids and stations; returns the recipe's path.
std::string write_station_region(Region& region, const StationField& stations);

}  // namespace thirstline::test
