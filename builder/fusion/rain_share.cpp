#include "builder/fusion/rain_share.hpp"

#include <limits>

namespace thirstline {

namespace {

constexpr int kSteps = 24;
constexpr double kStep = 0.05;
constexpr double kErrorSofteningMm = 10.0;

double error_with(double factor, const std::vector<RainToAdjust>& stations) {
    double error = 0.0;
    for (const RainToAdjust& station : stations) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double own = station.own_mm[month];
            const double from = station.at_cells_mm[month];
            const double adjusted =
                adjusted_rain_mm(from, factor * station.share_per_km[month], station.rise_km);
            error += std::abs(adjusted - own) / (from + own + kErrorSofteningMm);
        }
    }
    return error;
}

}  // namespace

double fitted_rain_share_factor(const std::vector<RainToAdjust>& stations) {
    if (stations.size() < kMinStationsOfRainShare) return kUsualRainShareFactor;
    double best = 0.0;
    double least = std::numeric_limits<double>::infinity();
    for (int step = 0; step <= kSteps; ++step) {
        const double error = error_with(step * kStep, stations);
        if (error < least) {
            least = error;
            best = step * kStep;
        }
    }
    return best;
}

}  // namespace thirstline
