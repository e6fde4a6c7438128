#include "builder/fusion/left_out_errors.hpp"

#include <cmath>

#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {}  // namespace

double left_out_error_factor(const ResidualField& field) {
    if (field.stations().size() < kMinToCalibrate) return 1.0;
    std::vector<double> relative;
    for (const ResidualStation& station : field.stations()) {
        const auto estimate =
            field.at(station.site, LeftOut{station.site.position, kSameSiteKm, nullptr});
        if (!estimate) continue;
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double misfit = station.residual[month] - estimate->correction[month];
            const double ratio =
                std::abs(misfit) / (estimate->standard_error[month] * station.level[month]);
            if (std::isfinite(ratio)) relative.push_back(ratio);
        }
    }
    // In a small district every station may be left out together with every other.
    if (relative.size() < kMinToCalibrate * kMonths) return 1.0;
    return quantile(std::move(relative), 0.9) / kNinetyPercent;
}

}  // namespace thirstline
