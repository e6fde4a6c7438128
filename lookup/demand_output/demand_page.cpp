#include "lookup/demand_output/demand_page.hpp"

#include <algorithm>
#include <vector>

#include "lookup/demand_output/demand_chart.hpp"
#include "lookup/demand_output/demand_page_style.hpp"
#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/schedule_notes.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/demand_output/site_year.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/site_output/source_sentences.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/page_style.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kZonesInTable = 3;  // the number that fits a phone's width

std::string phrase_element(std::string_view name, const Phrase& text, const TextStyle& style,
                           std::string_view css_class = {}) {
    return element(name, rendered(text, style), css_class);
}

/// A section with its heading.
std::string section(TextKey heading, const std::string& body, const TextStyle& style,
                    std::string_view css_class = "keep") {
    return "<section class=\"" + std::string(css_class) + "\">\n" +
           phrase_element("h2", heading, style) + body + "</section>\n";
}

std::string name_of_site(const DemandReport& report, Language language) {
    const SiteReport& site = report.site;
    const std::string place = place_name(site.query);
    return place.empty()
               ? position_text(site.query.position.value_or(site.profile.point.at), language)
               : place;
}

/// The site's location, and the elevation and distance for which the climate is known.
std::string position_sentence(const DemandReport& report, const TextStyle& style) {
    const SiteQuery& query = report.site.query;
    const AnsweringPoint& point = report.site.profile.point;
    const Argument position{"position",
                            position_text(query.position.value_or(point.at), style.language)};
    const Argument distance{"distance", distance_text(point.distance_km, style)};
    if (!point.elevation_m) {
        return point.interpolated
                   ? rendered({"page.position"_text, {position}}, style)
                   : rendered({"page.position_away"_text, {position, distance}}, style);
    }
    const Argument elevation{"elevation",
                             height_text(*point.elevation_m + point.shifted_by_m, style)};
    return point.interpolated
               ? rendered({"page.position_elevation"_text, {position, elevation}}, style)
               : rendered({"page.position_elevation_away"_text, {position, elevation, distance}},
                          style);
}

std::string page_header(const DemandReport& report, const TextStyle& style) {
    std::string about = position_sentence(report, style);
    if (const std::string rules = rules_sentence(report, style); !rules.empty())
        about += " " + rules;
    std::string job;
    for (const std::string& line : job_lines(report.set.job, style))
        job += element("p", line, "note");
    return "<header>\n" + phrase_element("p", "heading.page"_text, style, "kicker") +
           element("h1", name_of_site(report, style.language)) + element("p", about, "note") +
           (job.empty() ? "" : "<div class=\"job\">\n" + job + "</div>\n") + "</header>\n";
}

std::string cautions(const DemandReport& report, const TextStyle& style) {
    return section(
        "heading.cautions"_text,
        "<div class=\"columns\">\n" + bulleted(rendered(report.plan.cautions, style)) + "</div>\n",
        style, "cautions");
}

std::string conflicts(const DemandReport& report, const TextStyle& style) {
    const std::vector<std::string> sentences = conflict_sentences(report, style);
    if (sentences.empty()) return {};
    return section("heading.conflicts"_text,
                   phrase_element("p", "conflict.lead"_text, style) + bulleted(sentences), style,
                   "alarm");
}

std::string zone_card(const ZonePlan& zone, const TextStyle& style) {
    const BaseRun& run = zone.base_run;
    std::string out = "<div class=\"zone\">\n" + element("h3", zone.name);
    if (run.cycles_per_day == 0) {
        return out + phrase_element("p", "base.card_no_run"_text, style, "run") +
               phrase_element("p", no_runs_text(zone), style) + "</div>\n";
    }
    const std::string each = run_length(run.minutes_per_cycle);
    out += element(
        "p", run.cycles_per_day == 1 ? each : std::to_string(run.cycles_per_day) + " × " + each,
        "run");
    out += phrase_element(
        "p",
        {"program.days"_text, {{"number", std::to_string(run.program)}, {"days", run.day_names}}},
        style);
    out += phrase_element(
        "p", {"base.card_start"_text, {{"starts", start_times(run.start_minutes)}}}, style);
    if (run.cycles_per_day > 1) {
        out += phrase_element(
            "p",
            {"base.card_soak"_text,
             {{"soak", run_length(run.soak_minutes)}, {"total", run_length(run.minutes_per_day)}}},
            style, "note");
    }
    if (run.l_per_plant) {
        out += phrase_element(
            "p",
            {"base.card_plant"_text, {{"volume", plant_volume_with_unit(*run.l_per_plant, style)}}},
            style, "note");
    }
    return out + "</div>\n";
}

std::string base_schedule(const DemandReport& report, const TextStyle& style) {
    std::string body = phrase_element("p", "base.card_lead"_text, style, "lead");
    body += "<div class=\"zones\">\n";
    for (const ZonePlan& zone : report.plan.zones) body += zone_card(zone, style);
    body += "</div>\n" + element("p", rain_shutoff_sentence(report, style), "note");
    for (const Phrase& note : day_setting_notes(report.plan))
        body += phrase_element("p", note, style, "note");
    for (const std::string& note : off_month_notes(report, style))
        body += element("p", note, "note");
    for (const std::string& sentence : new_planting_sentences(report, style))
        body += phrase_element("p", {"new_planting.line"_text, {{"schedule", sentence}}}, style,
                               "note");
    return section(base_schedule_heading(report.plan), body, style);
}

std::string excess_sentence(const DemandReport& report, const TextStyle& style) {
    std::string out;
    for (const ZonePlan& zone : report.plan.zones) {
        double mm = 0.0;
        for (const ZoneMonth& month : zone.months) mm += month.by_percentage.excess_mm;
        if (is_negligible_depth(mm, style)) continue;
        out += (out.empty() ? "" : "; ") + zone.name + " " + depth_with_unit(mm, style);
    }
    return out.empty() ? out : rendered({"adjust.excess_year"_text, {{"zones", out}}}, style);
}

std::string percents_list(const ProgramPlan& program, const TextStyle& style) {
    std::string out = "<dl class=\"percents\">\n";
    const int greatest = *std::max_element(program.percent.begin(), program.percent.end());
    for (std::size_t m = 0; m < kMonths; ++m) {
        const bool is_peak = program.percent[m] > 0 && program.percent[m] == greatest;
        out += std::string("<div") + (is_peak ? " class=\"peak\"" : "") + "><dt>" +
               rendered(month_label(m), style) + "</dt><dd>" + std::to_string(program.percent[m]) +
               "</dd></div>\n";
    }
    return out + "</dl>\n";
}

std::string percentages(const DemandReport& report, const TextStyle& style) {
    const SitePlan& site = report.plan.site;
    if (site.programs.empty()) return {};
    std::string body;
    for (const ProgramPlan& program : site.programs) {
        if (site.programs.size() > 1) {
            body += phrase_element("h3",
                                   {"program.zones"_text,
                                    {{"number", std::to_string(program.number)},
                                     {"zones", joined_with_and(program.zones, style.language)}}},
                                   style);
        }
        body += percents_list(program, style);
    }
    std::vector<std::string> notes = percentage_sentences(report, style);
    if (std::string excess = excess_sentence(report, style); !excess.empty())
        notes.push_back(std::move(excess));
    body += "<div class=\"notes\">\n";
    for (const std::string& note : notes) body += element("p", note, "note");
    body += "</div>\n";
    return section("heading.adjustment"_text, body, style);
}

std::string header_cell(const Phrase& text, const TextStyle& style) {
    return "<th scope=\"col\">" + escaped(rendered(text, style)) + "</th>";
}
std::string row_header(TextKey text, const TextStyle& style) {
    return "<th scope=\"row\">" + escaped(rendered(text, style)) + "</th>";
}
std::string cell(std::string_view text) {
    return "<td>" + escaped(text) + "</td>";
}

/// The values of the chart as a table.
std::string need_table(const Monthly<SiteMonth>& months, const TextStyle& style) {
    const bool is_us = style.units == UnitSystem::us;
    std::string out =
        "<table>\n" +
        phrase_element("caption", is_us ? "table.inches"_text : "table.millimeters"_text, style) +
        "<thead><tr>";
    for (const TextKey heading : {"column.month"_text, "column.plant_need"_text, "column.rain"_text,
                                  "column.effective_rain"_text, "column.net_irrigation"_text})
        out += header_cell(heading, style);
    out += "</tr></thead>\n<tbody>\n";
    SiteMonth year;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const SiteMonth& month = months[m];
        out += "<tr>" + row_header(month_label(m), style) + cell(depth_text(month.need_mm, style)) +
               cell(month.rain_mm ? depth_text(*month.rain_mm, style) : "–") +
               cell(depth_text(month.effective_rain_mm, style)) +
               cell(depth_text(month.net_mm, style)) + "</tr>\n";
        year.need_mm += month.need_mm;
        year.effective_rain_mm += month.effective_rain_mm;
        year.net_mm += month.net_mm;
        year.rain_mm = year.rain_mm.value_or(0.0) + month.rain_mm.value_or(0.0);
    }
    return out + "</tbody>\n<tfoot><tr>" + row_header("column.year"_text, style) +
           cell(depth_text(year.need_mm, style, -1)) + cell(depth_text(*year.rain_mm, style, -1)) +
           cell(depth_text(year.effective_rain_mm, style, -1)) +
           cell(depth_text(year.net_mm, style, -1)) + "</tr></tfoot>\n</table>\n";
}

std::string runs_of(const ZoneMonth& month, const TextStyle& style) {
    std::string cycles = rendered(cycles_phrase(month), style);
    if (month.cycles_per_day == 0) return cycles;
    return rendered(days_phrase(month), style) + ": " + cycles;
}

std::string month_by_month_table(const DemandReport& report, std::size_t first, std::size_t end,
                                 const TextStyle& style) {
    const auto& zones = report.plan.zones;
    std::string out = "<table>\n" + phrase_element("caption", "table.days_cycles"_text, style) +
                      "<thead><tr>" + header_cell("column.month"_text, style);
    for (std::size_t z = first; z < end; ++z) out += header_cell(zones[z].name, style);
    out += "</tr></thead>\n<tbody>\n";
    for (std::size_t m = 0; m < kMonths; ++m) {
        out += "<tr>" + row_header(month_label(m), style);
        for (std::size_t z = first; z < end; ++z) out += cell(runs_of(zones[z].months[m], style));
        out += "</tr>\n";
    }
    return out + "</tbody>\n</table>\n";
}

std::string year_figures_list(const DemandReport& report, const TextStyle& style) {
    std::string out = "<dl class=\"figures\">\n";
    const std::vector<YearFigure> figures = year_figures(report, style);
    for (const YearFigure& figure : figures) {
        std::string_view css_class;
        if (&figure == &figures.back()) css_class = " class=\"saving\"";
        if (figure.is_followed_by_saving) css_class = " class=\"compared\"";
        out += "<div" + std::string(css_class) + ">" + element("dt", figure.what) +
               element("dd", figure.water);
        if (!figure.cost.empty()) out += element("dd", figure.cost);
        out += "</div>\n";
    }
    out += "</dl>\n";
    for (const std::string& note : year_notes(report, style)) out += element("p", note, "note");
    return out;
}

/// Tables of at most kZonesInTable zones, as equal in size as possible.
std::string month_by_month(const DemandReport& report, const TextStyle& style) {
    const std::size_t zones = report.plan.zones.size();
    const std::size_t tables = (zones + kZonesInTable - 1) / kZonesInTable;
    std::string out;
    for (std::size_t t = 0; t < tables; ++t)
        out += month_by_month_table(report, t * zones / tables, (t + 1) * zones / tables, style);
    return section("heading.zones_months"_text,
                   "<div class=\"tables\">\n" + out + "</div>\n" +
                       phrase_element("p", "table.use"_text, style, "note"),
                   style);
}

/// The chart, its values and the year's water. The page's style puts them side by side if the paper
/// or the screen is wide enough.
std::string year(const DemandReport& report, const TextStyle& style) {
    const Monthly<SiteMonth> months = site_months(report);
    const std::string mean = report.plan.zones.size() > 1
                                 ? phrase_element("p", "table.means"_text, style, "note")
                                 : std::string();
    const Monthly<double>& season = report.plan.site.season_share;
    const bool has_season =
        std::any_of(season.begin(), season.end(), [](double share) { return share < 1.0; });
    const std::string in_season =
        has_season ? phrase_element("p", "table.net_in_season"_text, style, "note") : std::string();
    const TextKey heading = report.set.price ? "heading.year_cost"_text : "heading.year"_text;
    return "<section class=\"year\">\n<div>\n" +
           phrase_element("h2", "heading.month_need"_text, style) + "<figure>\n" +
           demand_chart(months, style) + "</figure>\n</div>\n<div>\n" +
           phrase_element("h2", "heading.month_table"_text, style) + need_table(months, style) +
           mean + in_season + "</div>\n<div>\n" + phrase_element("h2", heading, style) +
           year_figures_list(report, style) + "</div>\n</section>\n";
}

std::string uncertainty_section(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> items;
    for (const ZonePlan& zone : report.plan.zones) {
        const std::string peak = peak_need_text(zone, style);
        if (peak.empty()) continue;
        items.push_back(
            rendered({"uncertainty.zone"_text, {{"zone", zone.name}, {"peak", peak}}}, style));
    }
    if (items.empty()) return {};
    return section("heading.uncertainty"_text,
                   "<div class=\"columns\">\n" + bulleted(items) + "</div>\n" +
                       element("p", uncertainty_sentence(report, style), "note"),
                   style, "small");
}

std::string metered(const DemandReport& report, const TextStyle& style) {
    const std::vector<std::string> lines = meter_sentences(report, style);
    return lines.empty() ? std::string() : section("heading.meter"_text, bulleted(lines), style);
}

/// In two halves, so that paper without room for all of it turns the sheet at midyear.
std::string calendar(const DemandReport& report, const TextStyle& style) {
    const std::vector<std::string> months = calendar_of_months(report.plan, style);
    const auto middle = months.begin() + static_cast<std::ptrdiff_t>((months.size() + 1) / 2);
    std::string body;
    for (const std::vector<std::string>& half : {std::vector<std::string>(months.begin(), middle),
                                                 std::vector<std::string>(middle, months.end())}) {
        if (!half.empty()) body += "<div class=\"columns\">\n" + bulleted(half) + "</div>\n";
    }
    if (const Phrase late = late_nights_by_month(report.plan); !late.empty())
        body += phrase_element("p", late, style, "note");
    return section("heading.calendar"_text, body, style, "calendar");
}

std::string assumptions(const DemandReport& report, const TextStyle& style) {
    return section("heading.assumptions"_text,
                   "<div class=\"columns\">\n" +
                       bulleted(assumptions_by_source(report.plan, style)) + "</div>\n",
                   style, "small");
}

std::string sources(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> items = source_sentences(report.site.baseline, style.language);
    for (std::string& sentence : origin_of_numbers(report.site, style))
        items.push_back(std::move(sentence));
    std::string foot;
    for (const std::string& line : baseline_sentences(report.site.baseline, style.language))
        foot += (foot.empty() ? "" : ". ") + line;
    return "<footer class=\"small\">\n" + phrase_element("h2", "heading.sources"_text, style) +
           "<div class=\"columns\">\n" + bulleted(items) + "</div>\n" + element("p", foot) +
           "</footer>\n";
}

}  // namespace

std::string demand_page(const DemandReport& report, const TextStyle& reader) {
    TextStyle style = reader;
    style.utf8 = true;
    const std::string title =
        rendered({"heading.title"_text, {{"site", name_of_site(report, style.language)}}}, style);
    return one_file_page_head(title,
                              std::string("\n") + page_style_css() + "\n" + demand_page_style_css(),
                              style.language == Language::spanish ? "es" : "en") +
           page_header(report, style) + cautions(report, style) + conflicts(report, style) +
           base_schedule(report, style) + percentages(report, style) +
           month_by_month(report, style) + calendar(report, style) + "<div class=\"reasons\">\n" +
           year(report, style) + metered(report, style) + uncertainty_section(report, style) +
           assumptions(report, style) + sources(report, style) +
           "</div>\n</main>\n</body>\n</html>\n";
}

}  // namespace thirstline
