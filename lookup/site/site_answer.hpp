// From a question about a site to everything that the file knows of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/site/site_query.hpp"
#include "lookup/site/site_report.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The site's answer, or why there is none.
struct SiteAnswer {
    SiteReport report;  ///< of a miss, only the query
    std::optional<Miss> miss;
    std::vector<std::string> warnings;  ///< of what is doubtful in the question, a sentence each
};

/// `own` stands above the file's normals.
/// Errors: those of find_site and of the Database.
[[nodiscard]] Result<SiteAnswer> site_answer(Database& database, const SiteRequest& request,
                                             std::optional<OwnRecord> own, StepLength step);

}  // namespace thirstline
