// Everything that an answer about a site shows, whatever its form: text, JSON or CSV.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/site/own_record.hpp"
#include "lookup/site/site_profile.hpp"
#include "lookup/site/site_query.hpp"
#include "lookup/site/site_steps.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// What a file says of itself as a whole.
struct Baseline {
    std::string title;
    std::string region;
    std::string publisher;
    std::string period;
    std::string reference;        ///< "short" or "tall"
    std::string site_correction;  ///< "reference" or "none"
    std::string notice;
    std::vector<Source> sources;
};

/// Errors: those of Database::sources.
[[nodiscard]] Result<Baseline> read_baseline(Database& database);

struct SiteReport {
    SiteQuery query;
    SiteProfile profile;
    std::string period;  ///< that the answering point's normals stand for
    std::vector<SiteStep> steps;
    std::optional<OwnRecord> own;
    Baseline baseline;
};

/// "eto Jan, Feb; rain Jul": which values an own record gives.
[[nodiscard]] std::string own_values_text(const OwnRecord& own);

}  // namespace thirstline
