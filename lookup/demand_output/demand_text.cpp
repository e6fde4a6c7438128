#include "lookup/demand_output/demand_text.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_tables.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_table.hpp"
#include "lookup/site_words.hpp"
#include "lookup/source_sentences.hpp"
#include "lookup/text_wrapping.hpp"

namespace thirstline {
namespace {

std::string conflicts_text(const DemandReport& report, std::size_t columns) {
    const std::vector<std::string> conflicts = conflict_sentences(report);
    const std::string rules = rules_sentence(report, {});
    if (conflicts.empty()) {
        return rules.empty() ? std::string()
                             : wrapped("The plan keeps every rule that was given.", columns) + "\n";
    }
    std::string out =
        "*** RULES AND NEED COLLIDE ***\n" +
        wrapped("The schedule below keeps the rules, and leaves plants short:", columns);
    for (const std::string& conflict : conflicts) out += wrapped(conflict, columns, "! ", "  ");
    return out + "\n";
}

std::string settings_text(const DemandReport& report, std::size_t columns) {
    std::string out = "Set the controller: runs in the month of greatest need (100 %)\n";
    out = wrapped(out, columns);
    for (const ZonePlan& zone : report.plan.zones) {
        std::string name = zone.name;
        if (zone.peak_need_month) {
            name += " (" +
                    std::string(kMonthNames[static_cast<std::size_t>(*zone.peak_need_month - 1)]) +
                    ")";
        }
        out += wrapped(name, columns);
        out += wrapped(base_run_sentence(report, zone), columns, "  ", "  ");
    }
    return out + "\n";
}

std::string year_text(const DemandReport& report, const TextStyle& style, std::size_t columns) {
    std::string out = "The year's water" + std::string(report.set.price ? " and its cost" : "") +
                      "\n" + year_table(report, style);
    for (const std::string& note : year_notes(report)) out += wrapped(note, columns);
    return out + "\n";
}

std::vector<std::string> uncertainty(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        const std::string peak = peak_need_text(zone, style);
        if (!peak.empty()) out.push_back(zone.name + ", " + peak + ".");
    }
    if (const std::string meaning = uncertainty_sentence(report); !meaning.empty()) {
        out.push_back(meaning);
    }
    return out;
}

std::vector<std::string> assumptions(const DemandPlan& plan) {
    std::vector<std::string> out;
    for (const SharedAssumption& assumption : shared_assumptions(plan)) {
        out.push_back(assumption_sentence(assumption, plan.zones.size()));
    }
    return out;
}

}  // namespace

std::string demand_text(const DemandReport& report, const TextStyle& style, std::size_t columns) {
    std::string out = paragraphs(site_heading(report.site, style), columns) + "\n";
    out += conflicts_text(report, columns);
    out += settings_text(report, columns);
    out += wrapped("Then enter each month's percentage", columns);
    out += curve_table(report, style, columns);
    out += paragraphs(curve_sentences(report), columns) + "\n";
    if (const auto plantings = new_planting_sentences(report, style); !plantings.empty()) {
        out += listed("New plantings", plantings, columns);
    }
    out += wrapped(rain_shutoff_sentence(report, style), columns) + "\n";
    for (const ZonePlan& zone : report.plan.zones) {
        out += wrapped(zone.name + ", month by month", columns);
        out += zone_table(zone, report, style, columns) + "\n";
    }
    out += year_text(report, style, columns);
    out += listed("How sure", uncertainty(report, style), columns);
    out += listed("Taken for granted: overrule what you know better", assumptions(report.plan),
                  columns);
    if (const std::string rules = rules_sentence(report, style); !rules.empty()) {
        out += wrapped(rules, columns) + "\n";
    }
    out += listed("Cautions", report.plan.cautions, columns);
    out += listed("About the climate's numbers", about_these_numbers(report.site, style), columns);
    out += listed("Sources", source_sentences(report.site.baseline), columns);
    out += paragraphs(baseline_sentences(report.site.baseline), columns);
    return style.utf8 ? out : in_ascii(std::move(out));
}

}  // namespace thirstline
