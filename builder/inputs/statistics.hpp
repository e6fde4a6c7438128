// A few order statistics.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

namespace thirstline {

/// The standard deviation of a normal variable is its median absolute value times this.
inline constexpr double kRobustScale = 1.4826;

/// Half the width of the interval that contains 90 % (50 %) of a normal variable, in standard
/// deviations.
inline constexpr double kNinetyPercent = 1.645;
inline constexpr double kFiftyPercent = 0.674;

/// The value below which a fraction `share` of the values is, the upper one of two; 0 if there are
/// none.
[[nodiscard]] inline double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0.0;
    const auto at = values.begin() + std::lround(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

/// The middle value, the upper one of two; 0 if there are none.
[[nodiscard]] inline double upper_median(std::vector<double> values) {
    return quantile(std::move(values), 0.5);
}

/// The middle value, or the mean of the middle two. There must be at least one value.
[[nodiscard]] inline double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t middle = values.size() / 2;
    return values.size() % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2.0;
}

}  // namespace thirstline
