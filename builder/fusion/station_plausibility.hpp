// Whether a station that differs from its neighbours may still be correct.
//
// An extreme is not an error. A station's value of a driver is compared with two references: the
// value expected from its neighbours (background and kriged residuals, with the station left out),
// and the background alone, which may itself be wrong. Only a value that differs from both is not
// credible:
//
//                       differs over the year by   with reliable neighbours           in one month
//   mean temperature    6 °C                       3.5 °C                             9 °C
//   temperature range   10 °C                      8 °C                               9.5 °C
//   humidity            0.35                       0.2                                0.75
//   wind                a factor of 4              2.5                                6
//   clearness           0.25                       0.15                               0.35
//   rain                a factor of 5              2.5                                6
//
// In mountains (the background's cell has a standard deviation of 150 m or more) rain is not
// credible from a factor of 6.5: the crest of a monsoon coast has several times the rain of the
// plain behind it, the lee of an island a sixth of its cell's. One month is rejected if the rest of
// the year agrees and the adjacent months do not lead up to it; for rain, only above 2 mm/day. A
// year that fits when its months are shifted, and neither reference without a shift, is not
// credible either. 0.05 mm/day is added to rain before division, so that deserts are not judged by
// the last millimetre.
//
// Rain is judged by the spread around it as well: with m the mean over the months of
// |ln(own/reference)|, 0.2 mm/day added, for the closer reference, it is not credible if
//     m > 3.2 · (misfit of the stations around against their own neighbours, in the same measure,
//                + 0.15)
// or if a shift by 3 to 9 months reduces m by more than 0.2 (0.3 in mountains). Of 4,181 WMO
// stations of 1991–2020 none exceeds the first (the greatest has 2.8) and none the second (0.15; in
// mountains 0.27).
//
// The limits are our own: the extremes that must be accepted are in the test of this file.
#pragma once

#include <limits>

#include "builder/fusion/drivers.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

enum class Plausibility {
    plausible,
    doubtful,    ///< not credible if its neighbours are reliable
    impossible,  ///< not credible, whatever its neighbours report
};

/// A station's value of a driver, and the two references; all in the driver's unit.
struct StationWitnesses {
    Monthly<double> own{};
    Monthly<double> of_neighbours{};
    Monthly<double> of_background{};
    double relief_m = 0.0;
    /// For rain: misfit of the stations around against their own neighbours, as the mean over the
    /// months of the logarithm of their ratio; NaN if unknown.
    double neighbour_misfit = std::numeric_limits<double>::quiet_NaN();
};

[[nodiscard]] Plausibility plausibility_of(Driver driver, const StationWitnesses& witnesses);

/// A driver's year in display units: rain in mm, wind in m/s, the mean of the others in their unit.
[[nodiscard]] double year_as_read(Driver driver, const Monthly<double>& values);

}  // namespace thirstline
