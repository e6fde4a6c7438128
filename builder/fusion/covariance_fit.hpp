// The covariance of a driver's residuals, fitted to the stations themselves.
#pragma once

#include <atomic>
#include <vector>

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// The parameters with the smallest left-out errors: mean absolute error over up to 500 stations
/// spread evenly, with all stations within 15 km left out, by the simplex method of Nelder and Mead
/// (1965, Computer Journal 7, 308) in the logarithms of the parameters, with a weak prior at
/// `start`. The short range is limited to three times that of the start: neighbouring stations
/// would otherwise increase it in favour of places far from any station. With fewer than 150
/// stations the start is returned unchanged; once `interrupted` is true, the best found until then.
[[nodiscard]] CovarianceModel fitted_covariance(const std::vector<ResidualStation>& stations,
                                                const CovarianceModel& start,
                                                const std::atomic<bool>* interrupted = nullptr);

}  // namespace thirstline
