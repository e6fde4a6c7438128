// Change of rain with elevation: exp(share · height), the share from estimates above and below.
//
// Kriging gives the change with elevation where stations cover a range of elevations, and little
// elsewhere; applied in full it is too large. It is therefore multiplied by a factor that is fitted
// in each build: at the stations at least 300 m above or below the background's cells, each left
// out with all within 15 km, rain is estimated at the cells' elevation and adjusted to the
// station's. The factor from 0 to 1.2 is the one that minimizes
//
//     Σ |adjusted − own| / (adjusted from + own + 10 mm)
//
// On 719 such WMO stations of 1991–2020 over a grid of 1961–1990 it is 0.90. It was cross-validated
// with rain kriged as a root: fitted without a tenth of the stations it is 0.80 to 0.85, and the
// errors at the omitted tenths are 26.2 % of their rain; without any adjustment they are 28.9 %,
// with the whole share 26.5 %, and with a share by regression on the elevation of the stations
// around, in the best of eighteen forms, 26.5 % (our own tests).
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// Below this much rain in a month a share of it is not meaningful.
inline constexpr double kMinRainOfShareMm = 1.0;
/// The result for 719 stations (above): used if there are too few stations.
inline constexpr double kUsualRainShareFactor = 0.9;
inline constexpr std::size_t kMinStationsOfRainShare = 50;
inline constexpr double kMinRiseOfRainShareM = 300.0;

/// Change of the logarithm of rain per km, from two estimates `step_km` of elevation apart; limited
/// to 1.2, which is a factor of 3.3 per km (our own). NaN if one is unknown.
[[nodiscard]] inline double rain_share_per_km(double above_mm, double below_mm, double step_km) {
    constexpr double kMaxSharePerKm = 1.2;
    const double share =
        std::log((above_mm + kMinRainOfShareMm) / (below_mm + kMinRainOfShareMm)) / step_km;
    return std::isnan(share) ? share : std::clamp(share, -kMaxSharePerKm, kMaxSharePerKm);
}

/// Rain adjusted by a share over a height: limited to a quarter and four times, as answers are.
[[nodiscard]] inline double adjusted_rain_mm(double rain_mm, double share_per_km, double rise_km) {
    const double most = std::log(4.0);
    return rain_mm * std::exp(std::clamp(share_per_km * rise_km, -most, most));
}

/// A left-out station, estimated at the elevation of the background's cells. All values known.
struct RainToAdjust {
    double rise_km = 0.0;  ///< of the station above the cells
    Monthly<double> own_mm{};
    Monthly<double> at_cells_mm{};
    Monthly<double> share_per_km{};
};

/// The factor in the file's metadata; kUsualRainShareFactor with fewer than fifty stations.
[[nodiscard]] double fitted_rain_share_factor(const std::vector<RainToAdjust>& stations);

}  // namespace thirstline
