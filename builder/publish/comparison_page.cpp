#include "builder/publish/comparison_page.hpp"

#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_style.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/page_style.hpp"

namespace thirstline {

namespace {

/// "Merrow valley, edition 2026.1"
std::string name_of(const Database& database) {
    const std::string& edition = database.metadata("edition");
    return database.metadata("title") + (edition.empty() ? "" : ", edition " + edition);
}

}  // namespace

Result<std::string> comparison_page(const DatabaseComparison& comparison, Database& before,
                                    Database& after, const std::atomic<bool>& interrupted) {
    ReportMatter matter;
    matter.changes = comparison;
    if (!comparison.is_same) matter.change_map = TRY(change_raster_of(before, after, interrupted));
    const std::string title = name_of(after);
    std::string html =
        one_file_page_head("What changed: " + title,
                           std::string("\n") + page_style_css() + "\n" + report_style_css()) +
        "<header>\n" + element("p", "Comparison of two databases", "kicker") +
        element("h1", title) + element("p", "Compared with: " + name_of(before), "note") +
        "</header>\n" + changes_html(matter);
    return html + "</main>\n</body>\n</html>\n";
}

}  // namespace thirstline
