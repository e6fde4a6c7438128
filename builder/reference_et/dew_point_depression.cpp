#include "builder/reference_et/dew_point_depression.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

double depression_from_aridity_c(double rain_mm, double eto_mm) {
    if (std::isnan(rain_mm) || std::isnan(eto_mm)) return kDepressionWhereRainUnknownC;
    if (eto_mm <= 0.0) return 0.0;
    const double wetness = rain_mm / eto_mm;
    if (wetness > 1.0) return 0.0;  // the curve crosses 0 at 0.64
    return std::max(0.0, 9.8 * std::exp(-wetness / 0.20) - 0.4);
}

}  // namespace thirstline
