// The report's sections: HTML with every text of the data escaped; empty where there is nothing to
// tell.
#pragma once

#include <string>

#include "builder/publish/report_page.hpp"

namespace thirstline {

// What the numbers are.
[[nodiscard]] std::string overview_html(const SiteParts& parts, const ReportMatter& matter);

// How they came about.
[[nodiscard]] std::string methods_html(const SiteParts& parts, const ReportMatter& matter);
[[nodiscard]] std::string caveats_html(const SiteParts& parts, const ReportMatter& matter);

// Data sources.
[[nodiscard]] std::string sources_html(const SiteParts& parts);
[[nodiscard]] std::string stations_html(const SiteParts& parts, const ReportMatter& matter);
[[nodiscard]] std::string rejections_html(const SiteParts& parts);

// Downloads, citation, and how to reproduce them.
[[nodiscard]] std::string downloads_html(const SiteParts& parts);
[[nodiscard]] std::string citation_html(const SiteParts& parts);
[[nodiscard]] std::string rebuild_html(const SiteParts& parts, const ReportMatter& matter);

}  // namespace thirstline
