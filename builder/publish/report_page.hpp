// The report of a publication: one page without a script that explains what the numbers are, where
// they come from, how they were computed and checked, and how to reproduce them.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "builder/compare/comparison.hpp"
#include "builder/publish/publication_json.hpp"
#include "builder/publish/supplied_files.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// The report's content besides the site's parts.
struct ReportMatter {
    std::vector<Lattice> lattices;
    std::vector<StationRecord> stations;
    std::map<std::string, std::string, std::less<>> metadata;
    std::vector<HistoryStep> history;
    std::vector<SourceFile> input_files;
    std::vector<SuppliedRecipe> recipes;
    std::vector<SuppliedEvaluation> evaluations;
    std::optional<DatabaseComparison> changes;  ///< from the previous edition
    std::optional<MapRaster> change_map;        ///< if anything changed
};

/// HTML. All texts of the data are escaped.
[[nodiscard]] std::string report_page(const SiteParts& parts, const ReportMatter& matter);

}  // namespace thirstline
