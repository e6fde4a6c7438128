// The covariance of a driver's residuals, found from the stations themselves.
#pragma once

#include <atomic>
#include <vector>

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// The parameters whose left-out estimates err least: mean absolute error over up to 500 stations
/// spread evenly, 15 km around each left out, by the simplex method of Nelder and Mead (1965,
/// Computer Journal 7, 308) in the parameters' logarithms, with a mild pull towards `start`. The
/// short range stays within three times the start's: stations near one another would stretch it for
/// the sake of places far from any. With fewer than 150 stations the start is returned as it is;
/// once `interrupted` is true, the best found until then.
[[nodiscard]] CovarianceModel fitted_covariance(const std::vector<ResidualStation>& stations,
                                                const CovarianceModel& start,
                                                const std::atomic<bool>* interrupted = nullptr);

}  // namespace thirstline
