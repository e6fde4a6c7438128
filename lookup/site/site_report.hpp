// Everything that an answer about a site shows, in all formats: text, JSON or CSV.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/site/own_record.hpp"
#include "lookup/site/season_estimate.hpp"
#include "lookup/site/site_profile.hpp"
#include "lookup/site/site_query.hpp"
#include "lookup/site/site_steps.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/database/database.hpp"
#include "schema/database/edition.hpp"
#include "schema/database/shown_period.hpp"

namespace thirstline {

/// A file's description of itself.
struct Baseline {
    std::string title;
    std::string region;
    std::string publisher;
    std::string period;              ///< shown_period: by kind where kinds differ
    std::vector<KindPeriods> kinds;  ///< empty unless they differ
    std::string reference;           ///< "short" or "tall"
    std::string site_correction;     ///< "reference" or "none"
    std::string notice;
    Edition edition;
    std::vector<Source> sources;
    std::vector<Lattice> lattices;
};

/// The lattice that answered; null in a file of one.
[[nodiscard]] const Lattice* answering_lattice(const Baseline& baseline,
                                               const AnsweringPoint& point);

/// Errors: those of Database::sources.
[[nodiscard]] Result<Baseline> read_baseline(Database& database);

/// The site's mean and dry year, whichever the profile is.
struct MeanAndDry {
    SiteProfile normals;
    SiteProfile dry;  ///< of kDryPercent
};

struct SiteReport {
    SiteQuery query;
    SiteProfile profile;
    std::string period;  ///< years of the answering point's normals
    std::vector<SiteStep> steps;
    std::optional<SeasonEstimate> season;  ///< in a file with temperatures
    std::optional<OwnRecord> own;
    std::optional<MeanAndDry> years;  ///< in a file with wet and dry years
    Baseline baseline;
};

/// "ETo Jan, Feb; rain Jul": which values come from the user's own record.
[[nodiscard]] Phrase own_values(const OwnRecord& own);

}  // namespace thirstline
