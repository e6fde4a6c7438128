// Stations that differ from their neighbours beyond belief.
//
// A station is suspect if its left-out misfit over the year exceeds `threshold` times what its
// neighbours' misfits, held to 1 to 2.5 times the overall scale, let expect; or if one month stands
// out from the two beside it by more than 14 such scales. Of a suspect and the stations that its
// estimate rests on only the worst is taken at a time, for it makes the others look bad; then all
// is looked at again, up to ten times. Where most stations agree exactly with the background
// nothing is suspect: there is no scale to judge by.
#pragma once

#include <vector>

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

struct NeighbourSuspect {
    std::size_t station = 0;     ///< index into the stations given
    double yearly_misfit = 0.0;  ///< mean of residual less its left-out estimate
};

[[nodiscard]] std::vector<NeighbourSuspect> neighbour_suspects(
    const std::vector<ResidualStation>& stations, const CovarianceModel& model, double threshold);

}  // namespace thirstline
