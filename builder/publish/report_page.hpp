// The report of a publication: one page without a script that says what the numbers are, where they
// come from, how they were computed and checked, and how to reproduce them.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "builder/publish/publication_json.hpp"
#include "builder/publish/report_evaluation.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// What the report tells besides the site's parts.
struct ReportMatter {
    std::vector<Lattice> lattices;
    std::vector<StationRecord> stations;
    std::map<std::string, std::string, std::less<>> metadata;
    std::optional<std::vector<EvaluatedVariable>> evaluation;
    std::string recipe_name;  ///< without its folder; empty: none is shown
    std::string recipe_text;
};

/// HTML. Every text of the data is escaped.
[[nodiscard]] std::string report_page(const SiteParts& parts, const ReportMatter& matter);

}  // namespace thirstline
