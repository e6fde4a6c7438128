#include "lookup/demand_output/demand_text.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_tables.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/schedule_notes.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/site_output/source_sentences.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

std::vector<std::string> uncertainty(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        const std::string peak = peak_need_text(zone, style);
        if (peak.empty()) continue;
        out.push_back(
            rendered({"uncertainty.zone"_text, {{"zone", zone.name}, {"peak", peak}}}, style));
    }
    if (std::string meaning = uncertainty_sentence(report, style); !meaning.empty())
        out.push_back(std::move(meaning));
    return out;
}

std::vector<std::string> assumptions(const DemandPlan& plan, const TextStyle& style) {
    std::vector<std::string> out;
    for (const SharedAssumption& assumption : shared_assumptions(plan))
        out.push_back(assumption_sentence(assumption, plan.zones.size(), style));
    return out;
}

/// Assembles the text, part by part, within its columns and its character set.
class DemandText {
  public:
    DemandText(const DemandReport& report, const TextStyle& style, std::size_t columns)
        : report_(report), style_(style), columns_(columns) {}

    [[nodiscard]] std::string whole() {
        for (const std::string& line : job_lines(report_.set.job, style_)) add(line);
        for (const std::string& line : site_heading(report_.site, style_)) add(line);
        end_part();
        add_list("heading.cautions"_text, rendered(report_.plan.cautions, style_));
        add_conflicts();
        add_base_schedule();
        add_percentages();
        add_list("heading.establishment"_text, new_planting_sentences(report_, style_));
        add(rain_shutoff_sentence(report_, style_));
        end_part();
        for (const ZonePlan& zone : report_.plan.zones) {
            add({"heading.zone_months"_text, {{"zone", zone.name}}});
            add_table(zone_table(zone, report_.set.currency, style_, columns_));
            end_part();
        }
        std::vector<std::string> calendar = calendar_lines(report_.plan, style_);
        if (const Phrase late = late_nights_by_month(report_.plan); !late.empty())
            calendar.push_back(rendered(late, style_));
        add_list("heading.calendar"_text, std::move(calendar));
        add_year();
        add_list("heading.meter"_text, meter_sentences(report_, style_));
        add_list("heading.uncertainty"_text, uncertainty(report_, style_));
        add_list("heading.assumptions"_text, assumptions(report_.plan, style_));
        if (const std::string rules = rules_sentence(report_, style_); !rules.empty()) {
            add(rules);
            end_part();
        }
        add_list("heading.climate"_text, about_these_numbers(report_.site, style_));
        add_list("heading.sources"_text, source_sentences(report_.site.baseline, style_.language));
        for (const std::string& line : baseline_sentences(report_.site.baseline, style_.language))
            add(line);
        return std::move(out_);
    }

  private:
    [[nodiscard]] std::string in_alphabet(std::string text) const {
        return style_.utf8 ? text : in_ascii(std::move(text), style_.language);
    }
    void add(const Phrase& text, std::string_view first_indent = {},
             std::string_view later_indent = {}) {
        out_ += wrapped(in_alphabet(rendered(text, style_)), columns_, first_indent, later_indent);
    }
    void add_table(std::string table) { out_ += in_alphabet(std::move(table)); }
    void add_list(TextKey heading, std::vector<std::string> items) {
        for (std::string& item : items) item = in_alphabet(std::move(item));
        std::string lines = wrapped(in_alphabet(rendered(heading, style_)), columns_);
        lines.pop_back();  // the line end, which the list adds
        out_ += listed(lines, items, columns_);
    }
    void end_part() { out_ += "\n"; }

    void add_conflicts() {
        const std::vector<std::string> conflicts = conflict_sentences(report_, style_);
        if (!conflicts.empty()) {
            add("*** " + rendered("heading.conflicts"_text, style_) + " ***");
            add("conflict.lead"_text);
            for (const std::string& conflict : conflicts) add(conflict, "! ", "  ");
        } else if (!rules_sentence(report_, style_).empty()) {
            add("rules.met"_text);
        } else {
            return;
        }
        end_part();
    }

    void add_base_schedule() {
        add(base_schedule_heading(report_.plan));
        for (const ProgramPlan& program : report_.plan.site.programs) {
            add({"program.days"_text,
                 {{"number", std::to_string(program.number)}, {"days", program.day_names}}});
            for (const ZonePlan& zone : report_.plan.zones) {
                if (zone.base_run.program != program.number) continue;
                add(zone.name + ": " + base_run_sentence(zone, style_), "  ", "    ");
            }
        }
        for (const ZonePlan& zone : report_.plan.zones)
            if (zone.base_run.program == 0)
                add(zone.name + ": " + rendered(no_runs_text(zone), style_));
        for (const Phrase& note : day_setting_notes(report_.plan)) add(note);
        for (const std::string& note : off_month_notes(report_, style_)) add(note);
        end_part();
    }

    void add_percentages() {
        if (report_.plan.site.programs.empty()) return;
        add("heading.adjustment"_text);
        add_table(percentage_table(report_, style_, columns_));
        for (const std::string& sentence : percentage_sentences(report_, style_)) add(sentence);
        end_part();
    }

    void add_year() {
        add(report_.set.price ? "heading.year_cost"_text : "heading.year"_text);
        add_table(year_table(report_, style_, columns_));
        for (const std::string& note : year_notes(report_, style_)) add(note);
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
