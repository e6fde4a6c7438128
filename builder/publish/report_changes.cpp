#include "builder/compare/comparison_output.hpp"
#include "builder/publish/report_maps.hpp"
#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMaxRows = 60;

std::string signed_mm(double mm) {
    return (mm > 0.0 ? "+" : "") + fixed_text(mm, 1);
}

std::string months_table(const char* caption, const Monthly<ChangeOfMonth>& months) {
    std::string html = "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"" +
                       escaped(caption) + "\">\n<table class=\"scores\"><caption>" +
                       escaped(caption) + "</caption><thead><tr>";
    for (const char* heading : {"Month", "Points", "Mean", "±", "Least", "5%", "Median", "95%",
                                "Greatest", "Over 2 standard errors"})
        html += element("th", heading);
    html += "</tr></thead><tbody>\n";
    for (std::size_t m = 0; m < kMonths; ++m) {
        const ChangeOfMonth& month = months[m];
        if (month.points == 0) continue;
        html += "<tr>" + element("th", kMonthNames[m]);
        for (const std::string& cell :
             {counted_text(month.points), signed_mm(month.mean),
              month.mean_se ? fixed_text(*month.mean_se, 1) : std::string("–"),
              signed_mm(month.least), signed_mm(month.percent_5), signed_mm(month.median),
              signed_mm(month.percent_95), signed_mm(month.greatest),
              counted_text(month.beyond_two_se)})
            html += element("td", cell, "number");
        html += "</tr>\n";
    }
    return html + "</tbody></table></div>\n";
}

/// Where the numbers changed most, in standard errors.
std::string places_table(const std::vector<ChangedPlace>& places) {
    if (places.empty()) return {};
    const char* caption = "Greatest changes, in standard errors; one row for a point";
    std::string html = "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"" +
                       escaped(caption) + "\">\n<table class=\"scores\"><caption>" +
                       escaped(caption) + "</caption><thead><tr>";
    for (const char* heading :
         {"Latitude, longitude", "Variable", "Month", "Old, mm", "New, mm", "Standard errors"})
        html += element("th", heading);
    html += "</tr></thead><tbody>\n";
    for (const ChangedPlace& place : places) {
        const LatLon at = to_degrees(place.at);
        html += "<tr>" +
                element("th", fixed_text(at.lat_deg, 3) + ", " + fixed_text(at.lon_deg, 3)) +
                element("td", place.variable == "eto" ? "reference ET" : place.variable) +
                element("td", kMonthNames[static_cast<std::size_t>(place.month - 1)]);
        for (const double number : {place.before_mm, place.after_mm, place.in_se})
            html += element("td", fixed_text(number, 1), "number");
        html += "</tr>\n";
    }
    return html + "</tbody></table></div>\n";
}

std::string limited_list(std::vector<std::string> lines) {
    if (lines.empty()) return element("p", "No change.");
    const std::size_t all = lines.size();
    if (all > kMaxRows) {
        lines.resize(kMaxRows);
        lines.push_back("… and " + counted_text(static_cast<std::int64_t>(all - kMaxRows)) +
                        " more; thirstline-builder compare lists them");
    }
    return bulleted(lines);
}

std::string stations_changed(const std::vector<StationChange>& changes) {
    std::vector<std::string> lines;
    for (const StationChange& change : changes) {
        const std::string details = station_change_text(change);
        lines.push_back(std::string(station_change_name(change.kind)) + ": " + change.station.name +
                        ", " + change.station.country + (details.empty() ? "" : "; " + details));
    }
    return limited_list(std::move(lines));
}

std::string texts_changed(const std::vector<TextChange>& changes) {
    std::vector<std::string> lines;
    for (const TextChange& change : changes)
        lines.push_back(change.what + ": " + (change.before.empty() ? "none" : change.before) +
                        " → " + (change.after.empty() ? "none" : change.after));
    return limited_list(std::move(lines));
}

}  // namespace

std::string changes_html(const ReportMatter& matter) {
    if (!matter.changes) return {};
    const DatabaseComparison& changes = *matter.changes;
    const std::string heading = "What changed";
    const std::string since =
        "Compared with the older database, content SHA-256 " + changes.before_sha256 + ".";
    if (changes.is_same) return section_html(heading, element("p", since + " Nothing changed."));
    const PointChanges& points = changes.points;
    std::string html =
        element("p", since + " " + counted_text(points.in_both) + " points are in both, " +
                         counted_text(points.only_after) + " are new, and " +
                         counted_text(points.only_before) + " are no longer there. At " +
                         counted_text(points.places_beyond_two_se) +
                         " points some month changed by more than two standard errors.");
    html += months_table("Change of reference ET by month, mm", points.eto) +
            months_table("Change of rain by month, mm", points.rain) +
            element("p",
                    "“±” is the standard error of the mean change if all points had the same "
                    "error and those of both editions were independent.",
                    "note");
    if (matter.change_map) html += change_figures(*matter.change_map);
    html += places_table(points.greatest);
    html += element("h3", "Stations") + stations_changed(changes.stations) +
            element("h3", "Sources") + texts_changed(changes.sources) + element("h3", "Recipe");
    std::string recipe;
    for (const RecipeLine& line : changes.recipe)
        recipe += (line.is_new ? "+ " : "- ") + line.text + "\n";
    if (!recipe.empty()) {
        html += preformatted(recipe);
    } else {
        html += element("p", changes.recipes_differ ? "The recipes differ." : "No change.");
    }
    const PostalChanges& postal = changes.postal;
    html +=
        element("h3", "Postal codes") +
        element("p", counted_text(static_cast<std::int64_t>(postal.gained.size())) + " gained, " +
                         counted_text(static_cast<std::int64_t>(postal.lost.size())) + " lost, " +
                         counted_text(static_cast<std::int64_t>(postal.moved.size())) +
                         " moved by more than 100 m.");
    return section_html(heading, html);
}

}  // namespace thirstline
