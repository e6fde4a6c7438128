// The images of a publication's squares: each answers for every site of its square as the whole
// database does, to the last digit.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <string>

#include "builder/export/provenance.hpp"
#include "builder/publish/area_squares.hpp"
#include "builder/publish/point_survey.hpp"
#include "builder/publish/site_folder.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct AreaShards {
    std::int32_t edge_arcsec = 0;
    std::map<AreaSquare, PublishedFile> files;
};

/// Target size of a shard if all points of its square have data. Small enough for a slow
/// connection, large enough that the text of sources in each shard is negligible.
inline constexpr double kWantedShardBytes = 25'000.0;

/// Errors: those of reading the database, of images and of writing files; interrupted.
[[nodiscard]] Result<AreaShards> write_area_shards(SiteFolder& folder, Database& database,
                                                   const PointSurvey& survey,
                                                   const Provenance& provenance,
                                                   const std::atomic<bool>& interrupted);

}  // namespace thirstline
