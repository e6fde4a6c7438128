#include "schema/tile/layers.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

const std::vector<Layer>& all_layers() {
    using enum LayerId;
    using enum LayerShape;
    static const std::vector<Layer> kLayers{
        {eto, "eto", "mm/day", point_month, 100, 2, false},
        {rain, "rain", "mm/month", point_month, 1, 2, false},
        {eto_se, "eto_se", "mm/day", point_month, 100, 2, false},
        {rain_se, "rain_se", "mm/month", point_month, 10, 2, false},
        {tmax, "tmax", "degC", point_month, 10, 2, true},
        {tmin, "tmin", "degC", point_month, 10, 2, true},
        {method, "method", "code", point_month, 1, 2, false},
        {period, "period", "row", point, 1, 1, false},
        {elevation, "elevation", "m", point, 1, 2, true},
        {eto_gradient, "eto_gradient", "mm/day/km", tile_month, 1000, 2, true},
        {rain_gradient, "rain_gradient", "1/km", tile_month, 1000, 2, true},
        {tmax_gradient, "tmax_gradient", "degC/km", tile_month, 100, 2, true},
        {tmin_gradient, "tmin_gradient", "degC/km", tile_month, 100, 2, true},
        {eto_year_slope, "eto_year_slope", "share/sd", point_month, 500, 1, true},
        {rain_year_slope, "rain_year_slope", "share/sd", point_month, 100, 1, true},
        {normals_deviate, "normals_deviate", "sd", point, 50, 1, true},
        {year_slope_se, "year_slope_se", "share", point, 100, 1, false},
    };
    return kLayers;
}

std::optional<Layer> layer_by_id(int id) {
    for (const Layer& layer : all_layers())
        if (static_cast<int>(layer.id) == id) return layer;
    return std::nullopt;
}

std::int32_t least_value(const Layer& layer) {
    if (!layer.is_signed) return 0;
    return -((1 << (8 * layer.width_bytes - 1)) - 1);
}

std::int32_t greatest_value(const Layer& layer) {
    if (layer.is_signed) return (1 << (8 * layer.width_bytes - 1)) - 1;
    return (1 << (8 * layer.width_bytes)) - 2;
}

std::int32_t quantised(const Layer& layer, double value) {
    if (!std::isfinite(value)) return kMissingValue;
    const double rounded = std::round(value * layer.divisor);
    return static_cast<std::int32_t>(std::clamp(rounded, static_cast<double>(least_value(layer)),
                                                static_cast<double>(greatest_value(layer))));
}

}  // namespace thirstline
