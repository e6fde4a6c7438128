// The layers that a tile may hold: what each value means, and how it is kept as an integer.
//
// A layer's value is integer / divisor in the layer's unit. The table `layer` of a database repeats
// these facts, and a reader goes by the table, so that a later version can store finer numbers.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

namespace thirstline {

/// Numbers are part of the file format: never reuse one.
enum class LayerId : std::uint8_t {
    eto = 1,             ///< reference evapotranspiration, mm/day, mean of the month
    rain = 2,            ///< all precipitation, mm in the month
    eto_se = 3,          ///< standard error of eto, mm/day
    rain_se = 4,         ///< standard error of rain, mm in the month
    tmax = 5,            ///< mean daily maximum air temperature, °C
    tmin = 6,            ///< mean daily minimum air temperature, °C
    method = 7,          ///< how eto was computed; see method.hpp
    period = 8,          ///< row of the table `period`
    elevation = 9,       ///< m above sea level
    eto_gradient = 10,   ///< change of eto with elevation, mm/day per km
    rain_gradient = 11,  ///< change of rain with elevation, as a share of rain per km
    tmax_gradient = 12,  ///< change of tmax with elevation, °C per km
    tmin_gradient = 13,  ///< change of tmin with elevation, °C per km
};

inline constexpr int kLayerSlots = 14;  ///< one more than the greatest LayerId

/// False for a layer that only a newer minor version of the format knows.
[[nodiscard]] constexpr bool is_known(LayerId id) {
    return static_cast<int>(id) >= 1 && static_cast<int>(id) < kLayerSlots;
}

enum class LayerShape : std::uint8_t {
    point_month = 0,  ///< twelve values a point
    point = 1,        ///< one value a point
    tile_month = 2,   ///< twelve values a tile
};

struct Layer {
    LayerId id = LayerId::eto;
    std::string_view name;
    std::string_view unit;
    LayerShape shape = LayerShape::point_month;
    std::int32_t divisor = 1;  ///< 1 to 10000
    int width_bytes = 2;       ///< 1 or 2
    bool is_signed = false;
    friend bool operator==(const Layer&, const Layer&) = default;
};

/// A value that is not there, in memory. (In a file it is the most negative integer of a signed
/// layer and the greatest of an unsigned one.)
inline constexpr std::int32_t kMissingValue = std::numeric_limits<std::int32_t>::min();

/// Every layer of this version of the format, by ascending id.
[[nodiscard]] const std::vector<Layer>& all_layers();

/// The layer of that id as this version writes it, or nothing if the number is unknown.
[[nodiscard]] std::optional<Layer> layer_by_id(int id);

/// Least and greatest integer that the layer can hold besides "missing".
[[nodiscard]] std::int32_t least_value(const Layer& layer);
[[nodiscard]] std::int32_t greatest_value(const Layer& layer);

/// `value · divisor`, rounded half away from zero and limited to the layer's range;
/// kMissingValue for a value that is not finite.
[[nodiscard]] std::int32_t quantised(const Layer& layer, double value);

}  // namespace thirstline
