#include "builder/publish/report_page.hpp"

#include "builder/publish/report_maps.hpp"
#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_style.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/page_style.hpp"

namespace thirstline {

namespace {

std::string figure_row(const std::string& name, const std::string& value) {
    if (value.empty()) return {};
    return "<div>" + element("dt", name) + element("dd", value) + "</div>\n";
}

std::string edition_rows(const Edition& edition) {
    std::string rows;
    for (const EditionKey& key : kEditionKeys) rows += figure_row(key.title, edition.*key.text);
    return rows;
}

std::string lattice_text(const Lattice& lattice, std::int64_t points) {
    constexpr double kKmOfAnArcsec = 0.0308874;
    return counted_text(points) + " points, " + std::to_string(lattice.spacing_arcsec) +
           " arc-seconds (" + fixed_text(lattice.spacing_arcsec * kKmOfAnArcsec, 1) +
           " km from south to north) apart";
}

std::string title_of(const SiteParts& parts) {
    const std::string& title = parts.provenance.title;
    return title.empty() ? "Reference evapotranspiration and rain" : title;
}

const char* form_words(const std::string& form) {
    if (form == "database") return "the database: one SQLite file, for thirstline-lookup and SQL";
    if (form == "image") return "the embedded image, for firmware and apps without SQLite";
    if (form == "csv")
        return "a table, one row per point and month (CSV, zipped, with its sources)";
    if (form == "geotiff") return "rasters for geographic information systems (GeoTIFF)";
    if (form == "netcdf") return "grids for climate software (netCDF, CF-1.8)";
    if (form == "geopackage") return "points, postal codes and stations (GeoPackage)";
    if (form == "signature") return "the signature of the database";
    return "the stations (CSV)";
}

}  // namespace

std::string overview_html(const SiteParts& parts, const ReportMatter& matter) {
    const Provenance& provenance = parts.provenance;
    std::string html =
        "<dl class=\"figures\">\n" + figure_row("Region", provenance.region) +
        figure_row("Publisher", provenance.publisher) + edition_rows(provenance.edition) +
        figure_row("Period", provenance.period) +
        figure_row("Contents", "monthly means of reference evapotranspiration and rain") +
        figure_row("Reference surface",
                   provenance.reference == "tall" ? "tall (alfalfa)" : "short (clipped grass)") +
        figure_row("Site correction", provenance.site_correction == "reference"
                                          ? "to irrigated conditions"
                                          : provenance.site_correction);
    for (std::size_t i = 0; i < matter.lattices.size(); ++i) {
        html += figure_row(matter.lattices.size() == 1
                               ? "Points"
                               : "Lattice " + std::to_string(matter.lattices[i].id),
                           lattice_text(matter.lattices[i], parts.survey.points_of_lattice[i]));
    }
    html +=
        figure_row("Stations", counted_text(static_cast<std::int64_t>(matter.stations.size()))) +
        figure_row("Postal codes", counted_text(parts.postal.codes)) +
        figure_row("Made by", provenance.program) + "</dl>\n" +
        "<p class=\"sum note\">Content SHA-256 " + escaped(provenance.content_sha256) + "</p>\n";
    if (!plain_text(provenance.notice).empty()) html += element("p", provenance.notice, "notice");
    return section_html("Overview", html);
}

std::string downloads_html(const SiteParts& parts) {
    std::string html =
        parts.downloads.empty() ? element("p", "The publisher offers no downloads here.") : "";
    html += "<ul class=\"downloads\">\n";
    for (const Download& download : parts.downloads) {
        const std::string name = download.file.name.substr(download.file.name.find('/') + 1);
        html += "<li><a href=\"" + escaped(download.file.name) + "\">" + escaped(name) + "</a>, " +
                escaped(size_text(download.file.bytes)) + ": " +
                escaped(form_words(download.form)) + "<br><span class=\"sum\">SHA-256 " +
                escaped(download.file.sha256) + "</span></li>\n";
    }
    html += "</ul>\n" + element("p",
                                "SHA256SUMS beside this report lists every file of this "
                                "publication: sha256sum -c SHA256SUMS checks them all.",
                                "note");
    if (parts.signing_key) {
        html += element("p",
                        "SHA256SUMS and the database are signed with the key " +
                            key_id_text(parts.signing_key->id) + ": minisign -Vm SHA256SUMS -P " +
                            public_key_line(*parts.signing_key) +
                            ". A key named only here proves nothing; compare it with the one that "
                            "the publisher states elsewhere.",
                        "note");
    }
    return section_html("Downloads", html);
}

std::string citation_html(const SiteParts& parts) {
    const Provenance& provenance = parts.provenance;
    std::string text = provenance.publisher.empty() ? "" : provenance.publisher + ". ";
    text += title_of(parts) + ". ";
    const Edition& edition = provenance.edition;
    if (!edition.edition.empty()) text += "Edition " + edition.edition + ". ";
    if (!edition.date.empty()) text += edition.date + ". ";
    if (!edition.doi.empty()) text += "https://doi.org/" + edition.doi + ". ";
    if (!provenance.period.empty()) text += "Normals of " + provenance.period + ". ";
    text += "Computed with " + provenance.program + ". Content SHA-256 " +
            provenance.content_sha256 + ".";
    return section_html("How to cite", element("p", text, "cite") +
                                           element("p",
                                                   "Add the attributions of the sources that you "
                                                   "use. The content checksum identifies this "
                                                   "exact dataset.",
                                                   "note"));
}

std::string report_page(const SiteParts& parts, const ReportMatter& matter) {
    const Provenance& provenance = parts.provenance;
    std::string lead = provenance.region == title_of(parts) ? "" : provenance.region;
    if (!provenance.publisher.empty())
        lead += (lead.empty() ? "" : ". ") + ("Published by " + provenance.publisher);
    std::string page =
        one_file_page_head("Report: " + title_of(parts),
                           std::string("\n") + page_style_css() + "\n" + report_style_css()) +
        "<header>\n" + element("p", "Data, methods and validation", "kicker") +
        element("h1", title_of(parts)) + element("p", lead, "note") +
        "<p class=\"note back\"><a href=\"./\">Back to the data page</a></p>\n</header>\n";
    page += overview_html(parts, matter);
    page += section_html("Maps", map_figures(parts.map, matter.stations));
    page += methods_html(parts, matter);
    page += sources_html(parts);
    page += stations_html(parts, matter);
    page += rejections_html(parts);
    page += evaluations_html(matter);
    page += changes_html(matter);
    page += caveats_html(parts, matter);
    page += downloads_html(parts);
    page += citation_html(parts);
    page += rebuild_html(matter);
    return page + "</main>\n</body>\n</html>\n";
}

}  // namespace thirstline
