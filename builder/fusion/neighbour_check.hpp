// Finds stations that differ too much from their neighbours.
//
// A station is suspect if its left-out misfit over the year exceeds `threshold` times the value
// expected from its neighbours' misfits, limited to 1 to 2.5 times the overall scale; or if one
// month differs from the two adjacent months by more than 14 such scales. Among a suspect and the
// stations that its estimate depends on, only the worst is rejected at a time, because it increases
// the misfits of the others; then the whole check is repeated, up to twenty times. If most stations
// agree exactly with the background nothing is suspect: there is no scale to judge by.
//
// With a `plausibility` (station_plausibility.hpp) a suspect is rejected only if it is not
// credible, or if it is doubtful with reliable neighbours: three or more within 120 km, with a
// median misfit of less than a third of its own, none of which differs in the same direction by
// half as much, in a cell of less than 100 m of relief. A station that is not credible is rejected
// from a fifth of the threshold, or if its months deviate, in the mean, by more than one such scale
// from the year's misfit, as with the months of another season. The other suspects are listed as
// kept.
#pragma once

#include <atomic>
#include <functional>
#include <vector>

#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/station_plausibility.hpp"

namespace thirstline {

struct NeighbourSuspect {
    std::size_t station = 0;     ///< index into the stations given
    double yearly_misfit = 0.0;  ///< mean of residual minus its left-out estimate
    Monthly<double> misfit{};
    double nearest_km = 0.0;
    bool is_kept = false;  ///< extreme, but credible
};

/// Whether the station may be correct, given its misfit.
using StationPlausibility =
    std::function<Plausibility(std::size_t station, const Monthly<double>& misfit)>;

[[nodiscard]] std::vector<NeighbourSuspect> neighbour_suspects(
    const std::vector<ResidualStation>& stations, const CovarianceModel& model, double threshold,
    const StationPlausibility& plausibility = nullptr,
    const std::atomic<bool>* interrupted = nullptr);

}  // namespace thirstline
