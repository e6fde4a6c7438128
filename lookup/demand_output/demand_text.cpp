#include "lookup/demand_output/demand_text.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_tables.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
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
    if (std::string meaning = uncertainty_sentence(report); !meaning.empty())
        out.push_back(std::move(meaning));
    return out;
}

std::vector<std::string> assumptions(const DemandPlan& plan, const TextStyle& style) {
    std::vector<std::string> out;
    for (const SharedAssumption& assumption : shared_assumptions(plan))
        out.push_back(in_reader_units(assumption_sentence(assumption, plan.zones.size()), style));
    return out;
}

/// Assembles the text, part by part, within its columns and its character set.
class DemandText {
  public:
    DemandText(const DemandReport& report, const TextStyle& style, std::size_t columns)
        : report_(report), style_(style), columns_(columns) {}

    [[nodiscard]] std::string whole() {
        for (const std::string& line : job_lines(report_.set.job)) add(line);
        for (const std::string& line : site_heading(report_.site, style_)) add(line);
        end_part();
        add_list("Cautions", report_.plan.cautions);
        add_conflicts();
        add_base_schedule();
        add_percentages();
        add_list("Establishment schedule", new_planting_sentences(report_, style_));
        add(rain_shutoff_sentence(report_, style_));
        end_part();
        for (const ZonePlan& zone : report_.plan.zones) {
            add(zone.name + ": days and minutes by month");
            add_table(zone_table(zone, style_, columns_));
            end_part();
        }
        add_list("Calendar of the month-by-month settings", calendar_lines(report_.plan));
        add_year();
        add_list(kMeterHeading, meter_sentences(report_, style_));
        add_list("Uncertainty", uncertainty(report_, style_));
        add_list("Assumptions and defaults (override with site data)",
                 assumptions(report_.plan, style_));
        if (const std::string rules = rules_sentence(report_, style_); !rules.empty()) {
            add(rules);
            end_part();
        }
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
        std::string lines = wrapped(std::string(heading), columns_);
        lines.pop_back();  // the line end, which the list adds
        out_ += listed(lines, items, columns_);
    }
    void end_part() { out_ += "\n"; }

    void add_conflicts() {
        const std::vector<std::string> conflicts = conflict_sentences(report_, style_);
        if (!conflicts.empty()) {
            add(std::string("*** ") + std::string(kConflictHeading) + " ***");
            add("This schedule follows your rules, so these zones get less water than they need:");
            for (const std::string& conflict : conflicts) add(conflict, "! ", "  ");
        } else if (!rules_sentence(report_, style_).empty()) {
            add("The schedule meets all rules entered.");
        } else {
            return;
        }
        end_part();
    }

    void add_base_schedule() {
        add(base_schedule_heading(report_.plan));
        for (const ProgramPlan& program : report_.plan.site.programs) {
            add("Program " + std::to_string(program.number) + ": " + program.day_names);
            for (const ZonePlan& zone : report_.plan.zones) {
                if (zone.base_run.program != program.number) continue;
                add(zone.name + ": " + base_run_sentence(zone), "  ", "    ");
            }
        }
        for (const ZonePlan& zone : report_.plan.zones)
            if (zone.base_run.program == 0) add(zone.name + ": " + no_runs_text(zone));
        end_part();
    }

    void add_percentages() {
        if (report_.plan.site.programs.empty()) return;
        add("Seasonal adjustment by month (%)");
        add_table(percentage_table(report_, style_, columns_));
        for (const std::string& sentence : percentage_sentences(report_, style_)) add(sentence);
        end_part();
    }

    void add_year() {
        add(report_.set.price ? "Water use and cost by year" : "Water use by year");
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
