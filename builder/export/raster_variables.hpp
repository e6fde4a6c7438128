// The numbers of the raster formats: layers as they are stored, monthly totals of those that are
// stored as means by day, and rain minus ETo. Totals are in tenths of a millimetre, rounded half
// away from zero like those of every reader (FORMAT.md, section 4).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "schema/tile/layers.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

struct RasterVariable {
    enum class Kind : std::uint8_t { stored, month_total, rain_minus_eto };
    Kind kind = Kind::stored;
    Layer written;  ///< name, unit and divisor of what is written; the id of the layer behind it
    Layer stored;   ///< the layer behind it; of rain_minus_eto that of ETo
    Layer rain;     ///< of rain_minus_eto only
    bool is_default = true;  ///< written if no variables are named
};

/// All that can be written from these layers: for "eto" also "eto_mm", for "eto_se" also
/// "eto_se_mm", and with rain "rain_minus_eto". Means by day are not among the defaults.
[[nodiscard]] std::vector<RasterVariable> raster_variables(const std::vector<Layer>& stored);

/// The integer that is written for a point's month; kMissingValue if it is not known.
[[nodiscard]] std::int32_t raster_value(const Tile& tile, const RasterVariable& variable, int slot,
                                        int month);

}  // namespace thirstline
