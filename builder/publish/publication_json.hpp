// The publication data that the page reads: the baseline at start, and the map when it is opened.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "builder/export/provenance.hpp"
#include "builder/publish/area_shards.hpp"
#include "builder/publish/downloads.hpp"
#include "builder/publish/map_raster.hpp"
#include "builder/publish/point_survey.hpp"
#include "builder/publish/postal_shards.hpp"
#include "schema/signature/file_signature.hpp"

namespace thirstline {

/// The content of the files next to the page, with all texts plain (schema/text/html_text.hpp).
struct SiteParts {
    Provenance provenance;
    PointSurvey survey;
    AreaShards areas;
    PostalShards postal;
    MapRaster map;
    PublishedFile map_file;
    std::optional<LatLonE7> middle;  ///< a site with data, for the page's example
    std::optional<PublishedFile> ground_file;
    std::vector<Download> downloads;
    std::optional<PublicKey> signing_key;  ///< if the publication is signed
};

inline constexpr const char* kReportName = "report.html";

[[nodiscard]] std::string baseline_json(const SiteParts& parts);
[[nodiscard]] std::string map_json(const MapRaster& map);

}  // namespace thirstline
