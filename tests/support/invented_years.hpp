// Single years of invented climates, with known truth.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>

#include "schema/base/calendar.hpp"

namespace thirstline::test {

/// Made-up climates: daily ETo and monthly rain as yearly waves.
struct InventedClimate {
    const char* name;
    double eto_mean;
    double eto_amplitude;
    double rain_mean;
    double rain_winter_share;  ///< above 0: most rain in January
    double rain_variation;     ///< standard deviation of a month's rain over its mean
};

/// Years of correlated months: wetness persists from month to month (0.5) and has a part that the
/// whole year shares; rain is gamma distributed (Wilson and Hilferty's transformation), and ETo
/// varies by 8 %, less in wet months.
class InventedYears {
  public:
    InventedYears(const InventedClimate& climate, unsigned seed)
        : climate_(climate), random_(seed) {}

    void next(Monthly<double>& eto, Monthly<double>& rain) {
        const double of_year = normal_(random_);
        double of_month = normal_(random_);
        for (std::size_t m = 0; m < kMonths; ++m) {
            of_month = 0.5 * of_month + std::sqrt(0.75) * normal_(random_);
            const double wetness = 0.45 * of_year + std::sqrt(1.0 - 0.45 * 0.45) * of_month;
            const double wave = std::cos(2.0 * M_PI * (static_cast<double>(m) - 0.5) / kMonths);
            const double mean =
                std::max(climate_.rain_mean * (1.0 + climate_.rain_winter_share * wave), 2.0);
            const double shape = 1.0 / (climate_.rain_variation * climate_.rain_variation);
            rain[m] = mean * std::pow(std::max(0.0, 1.0 - 1.0 / (9.0 * shape) +
                                                        wetness / (3.0 * std::sqrt(shape))),
                                      3);
            const double daily = climate_.eto_mean - climate_.eto_amplitude * wave;
            eto[m] = daily * kDaysInMonth[m] *
                     std::max(0.3, 1.0 + 0.08 * (-0.6 * wetness + 0.8 * normal_(random_)));
        }
    }

  private:
    InventedClimate climate_;
    std::mt19937 random_;
    std::normal_distribution<double> normal_;
};

inline constexpr InventedClimate kInventedClimates[]{{"winter rain", 3.6, 2.4, 45, 0.9, 0.9},
                                                     {"humid", 2.6, 1.9, 85, -0.1, 0.5},
                                                     {"semiarid", 4.0, 2.5, 25, -0.5, 1.0},
                                                     {"oceanic", 1.8, 1.3, 80, 0.2, 0.55},
                                                     {"monsoon", 4.5, 1.2, 100, -0.95, 0.6}};

}  // namespace thirstline::test
