// The report's sections: HTML with all texts of the data escaped; empty if there is no content.
#pragma once

#include <string>

#include "builder/publish/report_page.hpp"

namespace thirstline {

// Overview of the numbers.
[[nodiscard]] std::string overview_html(const SiteParts& parts, const ReportMatter& matter);

// Methods.
[[nodiscard]] std::string methods_html(const SiteParts& parts, const ReportMatter& matter);
[[nodiscard]] std::string caveats_html(const SiteParts& parts, const ReportMatter& matter);

// Data sources.
[[nodiscard]] std::string sources_html(const SiteParts& parts);
[[nodiscard]] std::string stations_html(const SiteParts& parts, const ReportMatter& matter);
[[nodiscard]] std::string rejections_html(const SiteParts& parts);

// Downloads, citation, and how to reproduce them.
[[nodiscard]] std::string downloads_html(const SiteParts& parts);
[[nodiscard]] std::string citation_html(const SiteParts& parts);
[[nodiscard]] std::string rebuild_html(const ReportMatter& matter);

// What changed since the previous edition; empty if none was given.
[[nodiscard]] std::string changes_html(const ReportMatter& matter);

// Scores.
[[nodiscard]] std::string evaluations_html(const ReportMatter& matter);

}  // namespace thirstline
