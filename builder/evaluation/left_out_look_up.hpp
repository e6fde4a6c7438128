// The values of each estimator at one left-out station.
#pragma once

#include <cstdint>
#include <set>
#include <string>

#include "builder/evaluation/computed_tiles.hpp"
#include "builder/evaluation/observations.hpp"
#include "builder/evaluation/scores.hpp"

namespace thirstline {

/// The data common to all stations of an evaluation; everything must outlive the use.
struct LookUpContext {
    const PointContext& with_stations;
    const PointContext& without_stations;
    const TileLayout& layout;
    const Neighbourhood& neighbourhood;
};

struct LeftOutStation {
    const StationPlace* place = nullptr;
    std::string name;
    std::string country;
    LeftOut left_out;
    Observation observed;
};

struct LeftOutLookUp {
    ScoredStation scored;
    /// Tiles that must be among the backgrounds for correct scores.
    std::set<std::int64_t> lacking;
};

/// Errors: those of answer_at.
[[nodiscard]] Result<LeftOutLookUp> left_out_look_up(const LeftOutStation& station,
                                                     const TileBackgrounds& backgrounds,
                                                     const LookUpContext& context);

}  // namespace thirstline
