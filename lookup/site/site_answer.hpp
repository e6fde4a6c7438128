// Answers a question about a site with all the data that the file has for it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/site/site_query.hpp"
#include "lookup/site/site_report.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The site's answer, or the reason why there is none.
struct SiteAnswer {
    SiteReport report;  ///< without an answer, only the query
    std::optional<Miss> miss;
    std::vector<std::string> warnings;  ///< about doubtful parts of the question, one sentence each
};

/// `own` takes precedence over the file's normals; with `year_percent` both become that year's
/// (describe_year). Errors: those of find_site, of the Database and of describe_year.
[[nodiscard]] Result<SiteAnswer> site_answer(Database& database, const SiteRequest& request,
                                             std::optional<OwnRecord> own, StepLength step,
                                             std::optional<double> year_percent = std::nullopt);

}  // namespace thirstline
