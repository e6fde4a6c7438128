// A build divided into parts of about the same work, which several machines can do: ranges of tile
// rows with about the same number of points on land.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "builder/pipeline/build.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct PlannedPart {
    TileRows rows;
    std::int64_t points = 0;  ///< with data, estimated from a sample
};

/// `parts` ranges of rows, from the south, so that the greatest sum of weights is as small as
/// possible; as many ranges as there are rows if there are fewer rows. Weights are not negative.
[[nodiscard]] std::vector<TileRows> balanced_ranges(const std::vector<double>& weight_of_row,
                                                    int parts);

/// The same recipe and sources give the same plan. Errors: those of opening and reading grids.
[[nodiscard]] Result<std::vector<PlannedPart>> planned_parts(const Recipe& recipe, int parts);

/// { "tile_rows": 300, "parts": [ { "part": "1/4", "tile_rows": "0:70", "points": 1234 } ] }
[[nodiscard]] std::string plan_json(const std::vector<PlannedPart>& parts);

}  // namespace thirstline
