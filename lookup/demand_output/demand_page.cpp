#include "lookup/demand_output/demand_page.hpp"

#include <algorithm>
#include <vector>

#include "lookup/demand_output/demand_chart.hpp"
#include "lookup/demand_output/demand_page_style.hpp"
#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/demand_output/site_year.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/site_output/source_sentences.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/page_style.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kZonesInTable = 3;  // the number that fits a phone's width

/// A section with its heading.
std::string section(std::string_view heading, const std::string& body,
                    std::string_view css_class = "keep") {
    return "<section class=\"" + std::string(css_class) + "\">\n" + element("h2", heading) + body +
           "</section>\n";
}

std::string name_of_site(const DemandReport& report) {
    const SiteReport& site = report.site;
    const std::string place = place_name(site.query);
    return place.empty() ? position_text(site.query.position.value_or(site.profile.point.at))
                         : place;
}

/// The site's location, and the elevation and distance for which the climate is known.
std::string position_sentence(const DemandReport& report, const TextStyle& style) {
    const SiteQuery& query = report.site.query;
    const AnsweringPoint& point = report.site.profile.point;
    std::string out = position_text(query.position.value_or(point.at));
    if (point.elevation_m) {
        out += "; elevation " + height_text(*point.elevation_m + point.shifted_by_m, style);
    }
    if (!point.interpolated)
        out += ", of a point " + distance_text(point.distance_km, style) + " away";
    return out + ".";
}

std::string page_header(const DemandReport& report, const TextStyle& style) {
    std::string about = position_sentence(report, style);
    if (const std::string rules = rules_sentence(report, style); !rules.empty())
        about += " " + rules;
    std::string job;
    for (const std::string& line : job_lines(report.set.job)) job += element("p", line, "note");
    return "<header>\n" + element("p", "Watering plan", "kicker") +
           element("h1", name_of_site(report)) + element("p", about, "note") + job + "</header>\n";
}

std::string cautions(const DemandReport& report) {
    return section("Cautions",
                   "<div class=\"columns\">\n" + bulleted(report.plan.cautions) + "</div>\n",
                   "cautions");
}

std::string conflicts(const DemandReport& report, const TextStyle& style) {
    const std::vector<std::string> sentences = conflict_sentences(report, style);
    if (sentences.empty()) return {};
    return section(kConflictHeading,
                   element("p",
                           "This schedule follows your rules, so these zones get less water than "
                           "they need:") +
                       bulleted(sentences),
                   "alarm");
}

std::string zone_card(const ZonePlan& zone) {
    const BaseRun& run = zone.base_run;
    std::string out = "<div class=\"zone\">\n" + element("h3", zone.name);
    if (run.cycles_per_day == 0)
        return out + element("p", "no run", "run") + element("p", no_runs_text(zone)) + "</div>\n";
    const std::string each = run_length(run.minutes_per_cycle);
    out += element(
        "p", run.cycles_per_day == 1 ? each : std::to_string(run.cycles_per_day) + " × " + each,
        "run");
    out += element("p", "Program " + std::to_string(run.program) + ": " + run.day_names);
    out += element("p", "start " + start_times_text(run.start_minutes));
    if (run.cycles_per_day > 1) {
        out += element("p",
                       "soak at least " + run_length(run.soak_minutes) + "; " +
                           run_length(run.minutes_per_day) + "/day",
                       "note");
    }
    return out + "</div>\n";
}

std::string base_schedule(const DemandReport& report, const TextStyle& style) {
    std::string body = element("p", "Cycles and minutes per watering day.", "lead");
    body += "<div class=\"zones\">\n";
    for (const ZonePlan& zone : report.plan.zones) body += zone_card(zone);
    body += "</div>\n" + element("p", rain_shutoff_sentence(report, style), "note");
    for (const std::string& sentence : new_planting_sentences(report, style))
        body += element("p", "Establishment schedule: " + sentence, "note");
    return section(base_schedule_heading(report.plan), body);
}

std::string excess_sentence(const DemandReport& report, const TextStyle& style) {
    std::string out;
    for (const ZonePlan& zone : report.plan.zones) {
        double mm = 0.0;
        for (const ZoneMonth& month : zone.months) mm += month.by_percentage.excess_mm;
        if (is_negligible_depth(mm, style)) continue;
        out += (out.empty() ? "" : "; ") + zone.name + " " + depth_with_unit(mm, style);
    }
    return out.empty() ? out : "Excess in the year: " + out + ".";
}

std::string percents_list(const ProgramPlan& program) {
    std::string out = "<dl class=\"percents\">\n";
    const int greatest = *std::max_element(program.percent.begin(), program.percent.end());
    for (std::size_t m = 0; m < kMonths; ++m) {
        const bool is_peak = program.percent[m] > 0 && program.percent[m] == greatest;
        out += std::string("<div") + (is_peak ? " class=\"peak\"" : "") + "><dt>" +
               std::string(kMonthAbbreviations[m]) + "</dt><dd>" +
               std::to_string(program.percent[m]) + "</dd></div>\n";
    }
    return out + "</dl>\n";
}

std::string percentages(const DemandReport& report, const TextStyle& style) {
    const SitePlan& site = report.plan.site;
    if (site.programs.empty()) return {};
    std::string body;
    for (const ProgramPlan& program : site.programs) {
        if (site.programs.size() > 1) {
            body += element("h3", "Program " + std::to_string(program.number) + ": " +
                                      joined_with_and(program.zones));
        }
        body += percents_list(program);
    }
    std::vector<std::string> notes = percentage_sentences(report, style);
    if (std::string excess = excess_sentence(report, style); !excess.empty())
        notes.push_back(std::move(excess));
    for (const std::string& note : notes) body += element("p", note, "note");
    return section("Seasonal adjustment by month (%)", body);
}

std::string header_cell(std::string_view text) {
    return "<th scope=\"col\">" + escaped(text) + "</th>";
}
std::string row_header(std::string_view text) {
    return "<th scope=\"row\">" + escaped(text) + "</th>";
}
std::string cell(std::string_view text) {
    return "<td>" + escaped(text) + "</td>";
}

/// The values of the chart as a table.
std::string need_table(const Monthly<SiteMonth>& months, const TextStyle& style) {
    std::string out = "<table>\n<caption>In " +
                      std::string(style.units == UnitSystem::us ? "inches" : "millimeters") +
                      " a month</caption>\n<thead><tr>" + header_cell("Month") +
                      header_cell("Plant need") + header_cell("Rain") +
                      header_cell("Effective rain") + header_cell("Net irrigation") +
                      "</tr></thead>\n<tbody>\n";
    SiteMonth year;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const SiteMonth& month = months[m];
        out += "<tr>" + row_header(kMonthAbbreviations[m]) +
               cell(depth_text(month.need_mm, style)) +
               cell(month.rain_mm ? depth_text(*month.rain_mm, style) : "–") +
               cell(depth_text(month.effective_rain_mm, style)) +
               cell(depth_text(month.net_mm, style)) + "</tr>\n";
        year.need_mm += month.need_mm;
        year.effective_rain_mm += month.effective_rain_mm;
        year.net_mm += month.net_mm;
        year.rain_mm = year.rain_mm.value_or(0.0) + month.rain_mm.value_or(0.0);
    }
    return out + "</tbody>\n<tfoot><tr>" + row_header("Year") +
           cell(depth_text(year.need_mm, style, -1)) + cell(depth_text(*year.rain_mm, style, -1)) +
           cell(depth_text(year.effective_rain_mm, style, -1)) +
           cell(depth_text(year.net_mm, style, -1)) + "</tr></tfoot>\n</table>\n";
}

std::string runs_of(const ZoneMonth& month) {
    if (month.cycles_per_day == 0) return cycles_text(month, "×");
    return days_number(month.days_per_week) + ": " + cycles_text(month, "×");
}

std::string month_by_month_table(const DemandReport& report, std::size_t first, std::size_t end) {
    const auto& zones = report.plan.zones;
    std::string out = "<table>\n<caption>Days per week: cycles × minutes</caption>\n<thead><tr>" +
                      header_cell("Month");
    for (std::size_t z = first; z < end; ++z) out += header_cell(zones[z].name);
    out += "</tr></thead>\n<tbody>\n";
    for (std::size_t m = 0; m < kMonths; ++m) {
        out += "<tr>" + row_header(kMonthAbbreviations[m]);
        for (std::size_t z = first; z < end; ++z) out += cell(runs_of(zones[z].months[m]));
        out += "</tr>\n";
    }
    return out + "</tbody>\n</table>\n";
}

std::string year_figures_list(const DemandReport& report, const TextStyle& style) {
    std::string out = "<dl class=\"figures\">\n";
    const std::vector<YearFigure> figures = year_figures(report, style);
    for (const YearFigure& figure : figures) {
        const bool is_saving = &figure == &figures.back();
        out += std::string("<div") + (is_saving ? " class=\"saving\"" : "") + ">" +
               element("dt", figure.what) + element("dd", figure.water);
        if (!figure.cost.empty()) out += element("dd", figure.cost);
        out += "</div>\n";
    }
    out += "</dl>\n";
    for (const std::string& note : year_notes(report)) out += element("p", note, "note");
    return out;
}

/// Tables of at most kZonesInTable zones, as equal in size as possible.
std::string month_by_month(const DemandReport& report) {
    const std::size_t zones = report.plan.zones.size();
    const std::size_t tables = (zones + kZonesInTable - 1) / kZonesInTable;
    std::string out;
    for (std::size_t t = 0; t < tables; ++t)
        out += month_by_month_table(report, t * zones / tables, (t + 1) * zones / tables);
    return section(
        "Days and minutes by zone",
        "<div class=\"tables\">\n" + out + "</div>\n" +
            element("p", "Use this table if the controller stores a schedule for each month.",
                    "note"));
}

/// The chart, its values and the year's water. The page's style puts them side by side if the paper
/// or the screen is wide enough.
std::string year(const DemandReport& report, const TextStyle& style) {
    const Monthly<SiteMonth> months = site_months(report);
    const std::string mean = report.plan.zones.size() > 1
                                 ? element("p", "Means over the area of all zones.", "note")
                                 : std::string();
    const std::string heading =
        report.set.price ? "Water use and cost by year" : "Water use by year";
    return "<section class=\"year\">\n<div>\n" + element("h2", "Water use by month") +
           "<figure>\n" + demand_chart(months, style) + "</figure>\n</div>\n<div>\n" +
           element("h2", "Monthly table") + need_table(months, style) + mean + "</div>\n<div>\n" +
           element("h2", heading) + year_figures_list(report, style) + "</div>\n</section>\n";
}

std::string uncertainty_section(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> items;
    for (const ZonePlan& zone : report.plan.zones) {
        const std::string peak = peak_need_text(zone, style);
        if (!peak.empty()) items.push_back(zone.name + ", " + peak + ".");
    }
    if (items.empty()) return {};
    return section("Uncertainty",
                   "<div class=\"columns\">\n" + bulleted(items) + "</div>\n" +
                       element("p", uncertainty_sentence(report), "note"),
                   "small");
}

std::string metered(const DemandReport& report, const TextStyle& style) {
    const std::vector<std::string> lines = meter_sentences(report, style);
    return lines.empty() ? std::string() : section(kMeterHeading, bulleted(lines));
}

std::string calendar(const DemandReport& report) {
    return section("Calendar of the month-by-month settings",
                   "<div class=\"columns\">\n" + bulleted(calendar_lines(report.plan)) + "</div>\n",
                   "calendar");
}

std::string assumptions(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> items = assumptions_by_source(report.plan);
    for (std::string& item : items) item = in_reader_units(std::move(item), style);
    return section("Assumptions and defaults (override with site data)",
                   "<div class=\"columns\">\n" + bulleted(items) + "</div>\n", "small");
}

std::string sources(const DemandReport& report) {
    std::vector<std::string> items = source_sentences(report.site.baseline);
    for (std::string& sentence : origin_of_numbers(report.site))
        items.push_back(std::move(sentence));
    std::string foot;
    for (const std::string& line : baseline_sentences(report.site.baseline))
        foot += (foot.empty() ? "" : ". ") + line;
    return "<footer class=\"small\">\n" + element("h2", "Sources") + "<div class=\"columns\">\n" +
           bulleted(items) + "</div>\n" + element("p", foot) + "</footer>\n";
}

}  // namespace

std::string demand_page(const DemandReport& report, UnitSystem units) {
    const TextStyle style{units, true};
    return one_file_page_head(
               "Watering plan, " + name_of_site(report),
               std::string("\n") + page_style_css() + "\n" + demand_page_style_css()) +
           page_header(report, style) + cautions(report) + conflicts(report, style) +
           base_schedule(report, style) + percentages(report, style) + month_by_month(report) +
           calendar(report) + "<div class=\"reasons\">\n" + year(report, style) +
           metered(report, style) + uncertainty_section(report, style) +
           assumptions(report, style) + sources(report) + "</div>\n</main>\n</body>\n</html>\n";
}

}  // namespace thirstline
