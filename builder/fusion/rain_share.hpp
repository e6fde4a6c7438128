// How rain changes with height: by exp(share · height), the share from estimates above and below.
//
// Kriging gives the change with height where stations span heights, and little elsewhere; carried
// the whole way it overshoots. So it is multiplied by a factor that is fitted in each build: at the
// stations at least 300 m above or below the background's cells, each left out with all within
// 15 km, rain is estimated at the cells' height and carried to the station's, and the factor from 0
// to 1.2 is taken that makes
//
//     Σ |carried − own| / (carried from + own + 10 mm)
//
// least. On 719 such WMO stations of 1991–2020 over a grid of 1961–1990 that is 0.90. It was
// cross-validated with rain kriged as a root: fitted without a tenth of the stations it is 0.80 to
// 0.85, and the tenths left out err by 26.2 % of their rain; without any adjustment they err by
// 28.9 %, with the whole share by 26.5 %, and with a share by regression on the height of the
// stations around, in the best of eighteen forms, by 26.5 % (our own tests).
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// Below this much rain in a month a share of it says nothing.
inline constexpr double kMinRainOfShareMm = 1.0;
/// What 719 stations gave (above): where there are too few to tell.
inline constexpr double kUsualRainShareFactor = 0.9;
inline constexpr std::size_t kMinStationsOfRainShare = 50;
inline constexpr double kMinRiseOfRainShareM = 300.0;

/// Change of the logarithm of rain a km, from two estimates `step_km` of height apart; held to 1.2,
/// which is 3.3 times a km (our own). NaN if one is unknown.
[[nodiscard]] inline double rain_share_per_km(double above_mm, double below_mm, double step_km) {
    constexpr double kMaxSharePerKm = 1.2;
    const double share =
        std::log((above_mm + kMinRainOfShareMm) / (below_mm + kMinRainOfShareMm)) / step_km;
    return std::isnan(share) ? share : std::clamp(share, -kMaxSharePerKm, kMaxSharePerKm);
}

/// Rain carried by a share over a height: to a quarter or four times at most, as answers are.
[[nodiscard]] inline double carried_rain_mm(double rain_mm, double share_per_km, double rise_km) {
    const double most = std::log(4.0);
    return rain_mm * std::exp(std::clamp(share_per_km * rise_km, -most, most));
}

/// A station left out, estimated at the height of the background's cells. All known.
struct RainToCarry {
    double rise_km = 0.0;  ///< of the station above the cells
    Monthly<double> own_mm{};
    Monthly<double> at_cells_mm{};
    Monthly<double> share_per_km{};
};

/// The factor of the file's head; kUsualRainShareFactor with fewer than fifty stations.
[[nodiscard]] double fitted_rain_share_factor(const std::vector<RainToCarry>& stations);

}  // namespace thirstline
