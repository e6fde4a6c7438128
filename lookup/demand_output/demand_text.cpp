#include "lookup/demand_output/demand_text.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_tables.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/site_output/source_sentences.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

std::vector<std::string> uncertainty(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        const std::string peak = peak_need_text(zone, style);
        if (!peak.empty()) out.push_back(zone.name + ", " + peak + ".");
    }
    if (std::string meaning = uncertainty_sentence(report); !meaning.empty()) {
        out.push_back(std::move(meaning));
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

/// Puts the text together, part by part, within its columns and its alphabet.
class DemandText {
  public:
    DemandText(const DemandReport& report, const TextStyle& style, std::size_t columns)
        : report_(report), style_(style), columns_(columns) {}

    [[nodiscard]] std::string whole() {
        for (const std::string& line : site_heading(report_.site, style_)) add(line);
        end_part();
        add_conflicts();
        add_settings();
        add_curve();
        add_list("New plantings", new_planting_sentences(report_, style_));
        add(rain_shutoff_sentence(report_, style_));
        end_part();
        for (const ZonePlan& zone : report_.plan.zones) {
            add(zone.name + ", month by month");
            add_table(zone_table(zone, report_, style_, columns_));
            end_part();
        }
        add_year();
        add_list("How sure", uncertainty(report_, style_));
        add_list("Taken for granted (overrule what you know)", assumptions(report_.plan));
        if (const std::string rules = rules_sentence(report_, style_); !rules.empty()) {
            add(rules);
            end_part();
        }
        add_list("Cautions", report_.plan.cautions);
        add_list("About the climate's numbers", about_these_numbers(report_.site, style_));
        add_list("Sources", source_sentences(report_.site.baseline));
        for (const std::string& line : baseline_sentences(report_.site.baseline)) add(line);
        return std::move(out_);
    }

  private:
    [[nodiscard]] std::string in_alphabet(std::string text) const {
        return style_.utf8 ? text : in_ascii(std::move(text));
    }
    void add(const std::string& text, std::string_view first_indent = {},
             std::string_view later_indent = {}) {
        out_ += wrapped(in_alphabet(text), columns_, first_indent, later_indent);
    }
    void add_table(std::string table) { out_ += in_alphabet(std::move(table)); }
    void add_list(std::string_view heading, std::vector<std::string> items) {
        for (std::string& item : items) item = in_alphabet(std::move(item));
        out_ += listed(heading, items, columns_);
    }
    void end_part() { out_ += "\n"; }

    void add_conflicts() {
        const std::vector<std::string> conflicts = conflict_sentences(report_);
        if (!conflicts.empty()) {
            out_ += "*** RULES AND NEED COLLIDE ***\n";
            add("The schedule below keeps the rules, and so leaves plants short:");
            for (const std::string& conflict : conflicts) add(conflict, "! ", "  ");
        } else if (!rules_sentence(report_, style_).empty()) {
            add("The plan keeps every rule that was given.");
        } else {
            return;
        }
        end_part();
    }

    void add_settings() {
        add("Set the controller: runs in the month of greatest need (100 %)");
        for (const ZonePlan& zone : report_.plan.zones) {
            std::string name = zone.name;
            if (zone.peak_need_month) {
                const auto month = static_cast<std::size_t>(*zone.peak_need_month - 1);
                name += " (" + std::string(kMonthNames[month]) + ")";
            }
            add(name);
            add(base_run_sentence(report_, zone), "  ", "  ");
        }
        end_part();
    }

    void add_curve() {
        add("Then enter each month's percentage");
        add_table(curve_table(report_, style_, columns_));
        for (const std::string& sentence : curve_sentences(report_)) add(sentence);
        end_part();
    }

    void add_year() {
        add(report_.set.price ? "The year's water and its cost" : "The year's water");
        add_table(year_table(report_, style_, columns_));
        for (const std::string& note : year_notes(report_)) add(note);
        end_part();
    }

    const DemandReport& report_;
    TextStyle style_;
    std::size_t columns_;
    std::string out_;
};

}  // namespace

std::string demand_text(const DemandReport& report, const TextStyle& style, std::size_t columns) {
    return DemandText(report, style, columns).whole();
}

}  // namespace thirstline
