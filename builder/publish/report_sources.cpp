#include <algorithm>
#include <map>

#include "builder/export/exact_decimals.hpp"
#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMaxStationsShown = 60;

/// A link if it is a web address; else its text.
std::string link_html(const std::string& url) {
    if (!url.starts_with("https://") && !url.starts_with("http://")) return escaped(url);
    return "<a href=\"" + escaped(url) + "\" rel=\"noreferrer\">" + escaped(url) + "</a>";
}

std::string with_full_stop(const std::string& text) {
    return text.empty() || text.ends_with('.') ? text : text + ".";
}

/// Groups sources with the same terms.
std::string terms_html(const std::vector<Source>& sources) {
    std::vector<std::vector<const Source*>> groups;
    for (const Source& source : sources) {
        const auto group = std::ranges::find_if(groups, [&source](const auto& known) {
            const Source& first = *known.front();
            return first.licence == source.licence && first.attribution == source.attribution &&
                   first.url == source.url;
        });
        if (group == groups.end()) {
            groups.push_back({&source});
        } else {
            group->push_back(&source);
        }
    }
    std::string html = "<dl class=\"terms\">\n";
    for (const auto& group : groups) {
        std::string names;
        for (const Source* source : group) names += (names.empty() ? "" : "; ") + source->name;
        const Source& terms = *group.front();
        html += element("dt", names) + "<dd>" + escaped(with_full_stop(terms.attribution)) +
                " License: " +
                escaped(terms.licence.empty() ? "not stated." : with_full_stop(terms.licence)) +
                (terms.url.empty() ? "" : " " + link_html(terms.url)) + "</dd>\n";
    }
    return html + "</dl>\n";
}

std::string station_rows(const std::vector<StationRecord>& stations) {
    std::string html =
        "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Stations\">\n"
        "<table class=\"texts\"><thead><tr>";
    for (const char* heading : {"Station", "Position", "Elevation, m", "Variables", "Period"})
        html += element("th", heading);
    html += "</tr></thead><tbody>\n";
    for (const StationRecord& station : stations) {
        std::string position;
        append_position(position, station.position, ", ");
        html += "<tr>" + element("th", station.name + ", " + station.country) +
                element("td", position) +
                element("td", fixed_text(station.elevation_m, 0), "number") +
                element("td", station.variables) + element("td", station.period) + "</tr>\n";
    }
    return html + "</tbody></table></div>\n";
}

std::string station_counts(const std::vector<StationRecord>& stations) {
    std::map<std::string, std::int64_t> by_variables;
    for (const StationRecord& station : stations) ++by_variables[station.variables];
    std::vector<std::pair<std::string, std::int64_t>> sorted(by_variables.begin(),
                                                             by_variables.end());
    std::ranges::stable_sort(sorted, std::ranges::greater{},
                             &std::pair<std::string, std::int64_t>::second);
    std::string html = "<table><thead><tr>" + element("th", "Variables") +
                       element("th", "Stations") + "</tr></thead><tbody>\n";
    for (const auto& [variables, count] : sorted)
        html += "<tr>" + element("th", variables) + element("td", counted_text(count), "number") +
                "</tr>\n";
    return html + "</tbody></table>\n";
}

}  // namespace

std::string sources_html(const SiteParts& parts) {
    const std::vector<Source>& sources = parts.provenance.sources;
    std::string html = "<table class=\"texts\"><thead><tr>";
    for (const char* heading : {"Source", "Variable", "Period", "Values used"})
        html += element("th", heading);
    html += "</tr></thead><tbody>\n";
    for (const Source& source : sources) {
        // Postal codes have places, not values.
        const bool is_of_values = source.variable != "postal codes";
        html += "<tr>" + element("th", source.name) + element("td", source.variable) +
                element("td", source.period) +
                element("td", is_of_values ? counted_text(source.values_used) : std::string("-"),
                        "number") +
                "</tr>\n";
    }
    html +=
        "</tbody></table>\n" + element("p",
                                       "“Values used” counts the monthly values that the source "
                                       "contributed to. To redistribute the "
                                       "data, include the attributions and follow the licenses:",
                                       "note");
    return section_html("Data sources", html + terms_html(sources));
}

std::string stations_html(const SiteParts& parts, const ReportMatter& matter) {
    if (matter.stations.empty()) return {};
    const auto count = static_cast<std::int64_t>(matter.stations.size());
    std::string html = element("p", counted_text(count) + (count == 1 ? " station" : " stations") +
                                        " used; nearer stations carry more weight.");
    for (const Download& download : parts.downloads) {
        if (download.form != "stations") continue;
        html += "<p>All stations with their sources: <a href=\"" + escaped(download.file.name) +
                "\">" + escaped(download.file.name.substr(download.file.name.find('/') + 1)) +
                "</a></p>\n";
    }
    const bool is_shown = matter.stations.size() <= kMaxStationsShown;
    return section_html("Stations", html + (is_shown ? station_rows(matter.stations)
                                                     : station_counts(matter.stations)));
}

std::string rejections_html(const SiteParts& parts) {
    std::string rows;
    std::int64_t all = 0;
    for (const Source& source : parts.provenance.sources) {
        if (source.rejected.empty()) continue;
        rows += "<tbody>\n<tr class=\"group\"><th colspan=\"2\" scope=\"rowgroup\">" +
                escaped(source.name) + "</th></tr>\n";
        for (const RejectedCount& rejected : source.rejected) {
            all += rejected.count;
            rows += "<tr>" + element("td", rejected.rule) +
                    element("td", counted_text(rejected.count), "number") + "</tr>\n";
        }
        rows += "</tbody>\n";
    }
    if (rows.empty()) {
        return section_html("Rejected input values",
                            element("p", "All input values were checked; none was rejected."));
    }
    return section_html(
        "Rejected input values",
        element("p", counted_text(all) +
                         " input values are impossible or doubtful. They were not used, or were "
                         "corrected as the reason says.") +
            "<table class=\"texts\"><thead><tr>" + element("th", "Source and reason") +
            element("th", "Values") + "</tr></thead>\n" + rows + "</table>\n");
}

}  // namespace thirstline
