// Computes a block's tiles from its inputs: the climate of each point, its reference ET, and the
// integers of the file.
//
// Thread safety: pure functions of their arguments; several blocks may be computed at the same
// time.
#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/pipeline/block_inputs.hpp"
#include "builder/pipeline/point_record.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// The layers in a build of this recipe.
[[nodiscard]] TileLayout layout_of(const Recipe& recipe);

/// The distinct periods of the grids, in the recipe's order.
[[nodiscard]] std::vector<std::string> distinct_periods(const Recipe& recipe);

/// The text of a point's period: that of the set of bits in `periods`.
[[nodiscard]] std::string period_text(std::uint8_t set, const std::vector<std::string>& periods);

struct EncodedTile {
    std::int64_t key = 0;
    int codec = 0;
    std::vector<std::uint8_t> data;
};

struct BlockTiles {
    std::vector<EncodedTile> tiles;                          ///< by ascending key
    std::map<std::uint16_t, std::int64_t> points_by_method;  ///< the lowest method of the year
    std::map<std::uint16_t, std::int64_t> months_by_method;
    std::map<std::uint8_t, std::int64_t> points_by_period;
    std::int64_t points = 0;
    std::int64_t points_without_rain = 0;  ///< in at least one month
    /// Points with data in some month but without ETo in another: omitted.
    std::int64_t incomplete_points = 0;
    std::vector<SourceTally> tallies;  ///< by grid
};

/// `grids` gives names and files for the examples of rejected values; it is only read.
[[nodiscard]] Result<BlockTiles> block_tiles(const BlockInputs& inputs, const SourceGrids& sources,
                                             const PointContext& context);

}  // namespace thirstline
