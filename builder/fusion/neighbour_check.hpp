// Stations that differ from their neighbours beyond belief.
//
// A station is suspect if its left-out misfit over the year exceeds `threshold` times what its
// neighbours' misfits, held to 1 to 2.5 times the overall scale, let expect; or if one month stands
// out from the two beside it by more than 14 such scales. Of a suspect and the stations that its
// estimate rests on only the worst is taken at a time, for it makes the others look bad; then all
// is looked at again, up to twenty times. Where most stations agree exactly with the background
// nothing is suspect: there is no scale to judge by.
//
// With a `belief` (station_belief.hpp) a suspect is rejected only if it is beyond belief, or
// doubtful with sound neighbours around: three or more within 120 km, the median of whose misfits
// is less than a third of its own and none of which differs to the same side by half as much, in a
// cell of less than 100 m of relief. What is beyond belief is rejected from a fifth of the
// threshold on, or if its months are, in the mean, more than one such scale from the year's misfit,
// as where they are another season's. The other suspects are listed as kept.
#pragma once

#include <atomic>
#include <functional>
#include <vector>

#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/station_belief.hpp"

namespace thirstline {

struct NeighbourSuspect {
    std::size_t station = 0;     ///< index into the stations given
    double yearly_misfit = 0.0;  ///< mean of residual less its left-out estimate
    Monthly<double> misfit{};
    double nearest_km = 0.0;
    bool is_kept = false;  ///< extreme, but not beyond belief
};

/// May the station be right, given its misfit?
using StationBelief = std::function<Belief(std::size_t station, const Monthly<double>& misfit)>;

[[nodiscard]] std::vector<NeighbourSuspect> neighbour_suspects(
    const std::vector<ResidualStation>& stations, const CovarianceModel& model, double threshold,
    const StationBelief& belief = nullptr, const std::atomic<bool>* interrupted = nullptr);

}  // namespace thirstline
