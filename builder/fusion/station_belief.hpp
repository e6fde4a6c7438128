// May a station that differs from its neighbours be right all the same?
//
// An extreme is not an error. What a station says of a driver is held against two witnesses: what
// its neighbours let expect there (background and kriged residuals, itself left out), and the
// background alone, which may itself be the odd one. Only what differs from both is beyond belief:
//
//                       differs over the year by   if sound neighbours stand around   in one month
//   mean temperature    6 °C                       3.5 °C                             9 °C
//   temperature range   10 °C                      8 °C                               9.5 °C
//   humidity            0.35                       0.2                                0.75
//   wind                a factor of 4              2.5                                6
//   clearness           0.25                       0.15                               0.35
//   rain                a factor of 5              2.5                                6
//
// Among mountains (the background's cell has a standard deviation of 150 m or more) rain is beyond
// belief from a factor of 6.5: the crest of a monsoon coast has several times the rain of the plain
// behind it, the lee of an island a sixth of its cell's. One month counts if the rest of the year
// agrees and the months beside it do not lead up to it; of rain, if there is more than 2 mm/day. A
// year that fits when its months are shifted, and neither witness as it stands, is beyond belief
// too. 0.05 mm/day is added to rain before it is divided, so that deserts are not judged by their
// last millimetre.
//
// Rain is judged by the spread around as well: with m the mean over the months of
// |ln(own/witness)|, 0.2 mm/day added, by the witness that is nearer, it is beyond belief if
//     m > 3.2 · (what the stations around differ by from their own neighbours, in the same measure,
//                + 0.15)
// or if a shift by 3 to 9 months makes m less by more than 0.2 (0.3 among mountains). Of 4,181 WMO
// stations of 1991–2020 none is beyond the first (the greatest has 2.8) and none beyond the second
// (0.15; among mountains 0.27).
//
// The bounds are our own: the extremes that they must let pass are in the test beside this.
#pragma once

#include <limits>

#include "builder/fusion/drivers.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

enum class Belief {
    plausible,
    doubtful,       ///< beyond belief if sound neighbours stand around
    beyond_belief,  ///< whatever its neighbours report
};

/// What a station says of a driver, and the two witnesses; all in the driver's unit.
struct StationWitnesses {
    Monthly<double> own{};
    Monthly<double> of_neighbours{};
    Monthly<double> of_background{};
    double relief_m = 0.0;
    /// Of rain: what the stations around differ by from their own neighbours, as the mean over the
    /// months of the logarithm of their ratio; NaN where it is not known.
    double misfit_around = std::numeric_limits<double>::quiet_NaN();
};

[[nodiscard]] Belief belief_of(Driver driver, const StationWitnesses& witnesses);

/// A driver's year as people read it: rain in mm, wind in m/s, the others' mean in their unit.
[[nodiscard]] double year_as_read(Driver driver, const Monthly<double>& values);

}  // namespace thirstline
