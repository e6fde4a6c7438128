// The layers that a tile may have: the meaning of each value, and how it is stored as an integer.
//
// A layer's value is integer / divisor in the layer's unit. The table `layer` of a database repeats
// these facts, and a reader uses the table, so that a later version can store finer numbers.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

namespace thirstline {

/// Numbers are part of the file format: never reuse one.
enum class LayerId : std::uint8_t {
    eto = 1,               ///< reference evapotranspiration, mm/day, mean of the month
    rain = 2,              ///< all precipitation, mm in the month
    eto_se = 3,            ///< standard error of eto, mm/day
    rain_se = 4,           ///< standard error of rain, mm in the month
    tmax = 5,              ///< mean daily maximum air temperature, °C
    tmin = 6,              ///< mean daily minimum air temperature, °C
    method = 7,            ///< how eto was computed; see method.hpp
    period = 8,            ///< row of the table `period`
    elevation = 9,         ///< m above sea level
    eto_gradient = 10,     ///< change of eto with elevation, mm/day per km
    rain_gradient = 11,    ///< change of rain with elevation, as a share of rain per km
    tmax_gradient = 12,    ///< change of tmax with elevation, °C per km
    tmin_gradient = 13,    ///< change of tmin with elevation, °C per km
    eto_year_slope = 14,   ///< change of eto with the year's need: see lawn/year_of_need.hpp
    rain_year_slope = 15,  ///< likewise of rain; both as shares per standard deviation
    normals_deviate = 16,  ///< of the need from eto and rain, among single years' needs
    year_slope_se = 17,    ///< standard error of the year's change, as a share of it
};

inline constexpr int kLayerSlots = 18;  ///< one more than the largest LayerId

/// False for a layer added by a newer minor version of the format.
[[nodiscard]] constexpr bool is_known(LayerId id) {
    return static_cast<int>(id) >= 1 && static_cast<int>(id) < kLayerSlots;
}

enum class LayerShape : std::uint8_t {
    point_month = 0,  ///< twelve values per point
    point = 1,        ///< one value per point
    tile_month = 2,   ///< twelve values per tile
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

/// A missing value, in memory. (In a file it is the most negative integer of a signed layer and the
/// largest of an unsigned one.)
inline constexpr std::int32_t kMissingValue = std::numeric_limits<std::int32_t>::min();

/// All layers of this version of the format, by ascending id.
[[nodiscard]] const std::vector<Layer>& all_layers();

/// The layer of that id as this version writes it; nothing if the id is unknown.
[[nodiscard]] std::optional<Layer> layer_by_id(int id);

/// Smallest and largest integer that the layer can store, other than "missing".
[[nodiscard]] std::int32_t least_value(const Layer& layer);
[[nodiscard]] std::int32_t greatest_value(const Layer& layer);

/// `value · divisor`, rounded half away from zero and limited to the layer's range;
/// kMissingValue for a value that is not finite.
[[nodiscard]] std::int32_t quantised(const Layer& layer, double value);

}  // namespace thirstline
