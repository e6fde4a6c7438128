#include "lookup/page_core/page_answer.hpp"

#include <utility>
#include <vector>

#include "lookup/demand_output/demand_json.hpp"
#include "lookup/demand_output/demand_report.hpp"
#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/schedule_notes.hpp"
#include "lookup/demand_output/shared_assumptions.hpp"
#include "lookup/page_core/page_request.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/text/json_members.hpp"

namespace thirstline {
namespace {

void write_texts(JsonWriter& json, std::string_view name, const std::vector<std::string>& texts) {
    json.name(name);
    json.open_array();
    for (const std::string& text : texts) json.text(text);
    json.close_array();
}

void write_month_cells(JsonWriter& json, const ZonePlan& zone, const TextStyle& style) {
    Members members(json);
    json.name("months");
    json.open_array();
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthCells cells = month_cells(zone.months[m], style);
        json.open_object();
        members.text("month", kMonthAbbreviations[m]);
        members.text("need", cells.need);
        members.text("rain", cells.rain);
        members.text("net", cells.net);
        members.text("gross", cells.gross);
        members.text("percent", cells.percent);
        members.text("days", cells.days);
        members.text("runs", cells.runs);
        members.text("run_time", cells.run_time);
        members.text("minutes_a_week", cells.minutes_week);
        members.text("water", cells.water);
        members.text("cost", cells.cost);
        json.close_object();
    }
    json.close_array();
}

void write_year_figures(JsonWriter& json, const DemandReport& report, const TextStyle& style) {
    Members members(json);
    json.name("year");
    json.open_array();
    for (const YearFigure& figure : year_figures(report, style)) {
        json.open_object();
        members.text("what", figure.what);
        members.text("water", figure.water);
        members.text("cost", figure.cost);
        json.close_object();
    }
    json.close_array();
}

std::vector<std::string> assumption_sentences(const DemandPlan& plan, const TextStyle& style) {
    std::vector<std::string> out;
    for (const SharedAssumption& assumption : shared_assumptions(plan))
        out.push_back(assumption_sentence(assumption, plan.zones.size(), style));
    return out;
}

std::vector<std::string> schedule_notes(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> notes = rendered(day_setting_notes(report.plan), style);
    for (std::string& note : off_month_notes(report, style)) notes.push_back(std::move(note));
    if (const Phrase late = late_nights_by_month(report.plan); !late.empty())
        notes.push_back(rendered(late, style));
    return notes;
}

void write_words(JsonWriter& json, const DemandReport& report, const TextStyle& style) {
    const ZonePlan& zone = report.plan.zones.front();
    Members members(json);
    json.name("words");
    json.open_object();
    members.text("depth_unit", depth_unit(style));
    members.text("volume_unit", volume_unit(style));
    members.text("rules", rules_sentence(report, style));
    write_texts(json, "conflicts", conflict_sentences(report, style));
    members.text("base_run", base_run_sentence(zone, style));
    write_texts(json, "schedule_notes", schedule_notes(report, style));
    members.text("peak_need", peak_need_text(zone, style));
    write_month_cells(json, zone, style);
    write_texts(json, "curve", percentage_sentences(report, style));
    write_texts(json, "new_planting", new_planting_sentences(report, style));
    members.text("rain_shutoff", rain_shutoff_sentence(report, style));
    members.text("uncertainty", uncertainty_sentence(report, style));
    write_year_figures(json, report, style);
    write_texts(json, "year_notes", year_notes(report, style));
    write_texts(json, "assumed", assumption_sentences(report.plan, style));
    json.close_object();
}

std::string error_json(const Error& error) {
    std::string out;
    JsonWriter json(out, JsonLayout::one_line);
    Members members(json);
    json.open_object();
    json.name("error");
    json.open_object();
    members.integer("status", exit_status(error.code));
    members.text("message", error.message);
    members.text("hint", error.hint);
    json.close_object();
    json.close_object();
    return out;
}

std::string answer_json(const DemandReport& report, UnitSystem units) {
    std::string out;
    JsonWriter json(out, JsonLayout::one_line);
    json.open_object();
    json.name("schema_version");
    json.integer(kDemandSchemaVersion);
    write_demand(json, report);
    write_words(json, report, {units, true});
    json.close_object();
    return out;
}

}  // namespace

std::string page_answer(std::string_view request) {
    auto parsed = page_request(request);
    if (!parsed) return error_json(parsed.error());
    const auto report = demand_report(std::move(parsed->site), std::move(parsed->set));
    return report ? answer_json(*report, parsed->units) : error_json(report.error());
}

}  // namespace thirstline
