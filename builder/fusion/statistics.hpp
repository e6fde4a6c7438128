// A few order statistics.
//
// Thread safety: pure functions.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace thirstline {

/// Median absolute value of a normal variable times this is its standard deviation.
inline constexpr double kRobustScale = 1.4826;

/// The value below which a share of the values lies, the upper of two; 0 of none.
[[nodiscard]] inline double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0.0;
    const auto at = values.begin() + std::lround(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

[[nodiscard]] inline double median(std::vector<double> values) {
    return quantile(std::move(values), 0.5);
}

}  // namespace thirstline
