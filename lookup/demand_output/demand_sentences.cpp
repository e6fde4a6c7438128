#include "lookup/demand_output/demand_sentences.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string_view>
#include <utility>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/schedule_notes.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/base/words.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

/// The conflicts of a zone with one rule; of several zones if all of it is the same.
struct RuleShortage {
    std::vector<const ZonePlan*> zones;
    const Conflict* worst = nullptr;
    Monthly<bool> months{};
};

bool is_worse(const Conflict& a, const Conflict& b) {
    if (a.short_mm != b.short_mm) return a.short_mm > b.short_mm;
    return a.drawn_mm > b.drawn_mm;
}

void add_shortages(std::vector<RuleShortage>& out, const ZonePlan& zone) {
    for (const Conflict& conflict : zone.conflicts) {
        auto known = std::find_if(out.begin(), out.end(), [&](const RuleShortage& other) {
            return other.zones.front() == &zone && other.worst->rule == conflict.rule &&
                   (other.worst->short_mm > 0.0) == (conflict.short_mm > 0.0) &&
                   other.worst->is_of_new_planting == conflict.is_of_new_planting;
        });
        if (known == out.end()) {
            known = out.insert(out.end(), RuleShortage{{&zone}, &conflict, {}});
        } else if (is_worse(conflict, *known->worst)) {
            known->worst = &conflict;
        }
        known->months[static_cast<std::size_t>(conflict.month - 1)] = true;
    }
}

bool says_the_same(const RuleShortage& a, const RuleShortage& b) {
    return a.worst->rule == b.worst->rule && a.worst->month == b.worst->month &&
           a.worst->is_of_new_planting == b.worst->is_of_new_planting &&
           a.worst->short_by == b.worst->short_by && a.worst->remedy == b.worst->remedy &&
           a.months == b.months;
}

std::vector<RuleShortage> shortages_of(const std::vector<ZonePlan>& zones) {
    std::vector<RuleShortage> out;
    for (const ZonePlan& zone : zones) {
        std::vector<RuleShortage> of_zone;
        add_shortages(of_zone, zone);
        for (const RuleShortage& shortage : of_zone) {
            const auto same = std::find_if(out.begin(), out.end(), [&](const RuleShortage& other) {
                return says_the_same(other, shortage);
            });
            if (same == out.end()) {
                out.push_back(shortage);
            } else {
                same->zones.push_back(&zone);
            }
        }
    }
    return out;
}

constexpr double kSameVolumeL = 1.0;

/// "Also in June and August, by less."
void add_other_months(std::vector<Phrase>& sentences, const RuleShortage& shortage) {
    std::vector<Phrase> months;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (shortage.months[m] && static_cast<int>(m) + 1 != shortage.worst->month)
            months.emplace_back(month_in_list(m));
    }
    if (months.size() == kMonths - 1) {
        sentences.emplace_back("conflict.also_all_months"_text);
    } else if (!months.empty()) {
        sentences.push_back({"conflict.also_months"_text,
                             {{"months", Phrase::joined_with_and(std::move(months))}}});
    }
}

Phrase day_phrase(const CalendarDay& day) {
    return {"date.whole"_text,
            {{"day", std::to_string(day.day)},
             {"month", month_in_full(static_cast<std::size_t>(day.month - 1))},
             {"year", std::to_string(day.year)}}};
}

Phrase shortage_phrase(const RuleShortage& shortage, const LocalRules& rules) {
    const Conflict& worst = *shortage.worst;
    const bool is_short = worst.short_mm > 0.0;
    std::vector<Phrase> names;
    for (const ZonePlan* one : shortage.zones) names.emplace_back(one->name);
    const Argument zone{"zone", Phrase::joined_with_and(std::move(names))};
    const TextKey short_text =
        shortage.zones.size() == 1 ? "conflict.short"_text : "conflict.short_each"_text;
    const Argument rule{"rule", rule_words(worst.rule, !is_short, rules)};
    const Argument amount{"amount", worst.short_by};
    const Argument remedy{"remedy", worst.remedy};
    std::vector<Phrase> sentences;
    if (worst.is_of_new_planting) {
        sentences.push_back({"conflict.new_planting"_text, {zone, rule, amount, remedy}});
    } else {
        sentences.push_back({is_short ? short_text : "conflict.interval"_text,
                             {zone,
                              {"month", month_in_full(static_cast<std::size_t>(worst.month - 1))},
                              rule,
                              amount,
                              remedy}});
    }
    add_other_months(sentences, shortage);
    return Phrase::joined(std::move(sentences), " ");
}

YearFigure year_figure(TextKey what, const YearTotals& totals, const DemandReport& report,
                       const TextStyle& style) {
    return {false, rendered(what, style), volume_with_unit(totals.volume_l, style),
            totals.cost ? money(*totals.cost, report.set.currency) : ""};
}

/// "north lawn in Jan and Dec": months in which a program's percentage would water a zone that is
/// off.
Phrase zones_to_turn_off(const DemandPlan& plan) {
    std::vector<Phrase> out;
    for (const ZonePlan& zone : plan.zones) {
        if (zone.base_run.program == 0) continue;
        const ProgramPlan& program =
            plan.site.programs[static_cast<std::size_t>(zone.base_run.program - 1)];
        std::vector<Phrase> months;
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (zone.months[m].off != Off::no && program.percent[m] > 0)
                months.emplace_back(month_in_list(m));
        }
        if (months.empty()) continue;
        out.push_back(
            {"adjust.turn_off_zone"_text,
             {{"zone", zone.name}, {"months", Phrase::joined_with_and(std::move(months))}}});
    }
    return Phrase::joined(std::move(out), "; ");
}

}  // namespace

std::vector<std::string> job_lines(const JobSheet& job, const TextStyle& style) {
    std::vector<Phrase> lines;
    const auto add = [&lines](TextKey what, const std::string& value) {
        if (!value.empty()) lines.push_back({what, {{"value", value}}});
    };
    add("job.customer"_text, job.customer);
    add("job.address"_text, job.address);
    if (!job.license.empty()) {
        lines.push_back({"job.prepared_by_licensed"_text,
                         {{"contractor", job.contractor}, {"license", job.license}}});
    } else if (!job.contractor.empty()) {
        lines.push_back({"job.prepared_by"_text, {{"contractor", job.contractor}}});
    }
    add("job.date"_text, job.date);
    add("job.notes"_text, job.notes);
    return rendered(lines, style);
}

std::vector<std::string> conflict_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const RuleShortage& shortage : shortages_of(report.plan.zones))
        out.push_back(rendered(shortage_phrase(shortage, report.set.rules), style));
    return out;
}

TextKey no_runs_text(const ZonePlan& zone) {
    if (!zone.peak_need_month) return "base.no_run_need"_text;
    const bool lacks_flow =
        std::any_of(zone.conflicts.begin(), zone.conflicts.end(),
                    [](const Conflict& conflict) { return conflict.rule == "flow"; });
    return lacks_flow ? "base.no_run_flow"_text : "base.no_run_rules"_text;
}

TextKey base_schedule_heading(const DemandPlan& plan) {
    const auto is_of_peak = [&](const ProgramPlan& program) {
        const int greatest = *std::max_element(program.percent.begin(), program.percent.end());
        return std::any_of(plan.zones.begin(), plan.zones.end(), [&](const ZonePlan& zone) {
            return zone.base_run.program == program.number && zone.peak_need_month &&
                   program.percent[static_cast<std::size_t>(*zone.peak_need_month - 1)] == greatest;
        });
    };
    const auto& programs = plan.site.programs;
    return std::all_of(programs.begin(), programs.end(), is_of_peak) ? "heading.base_peak"_text
                                                                     : "heading.base"_text;
}

std::string base_run_sentence(const ZonePlan& zone, const TextStyle& style) {
    const BaseRun& run = zone.base_run;
    if (run.cycles_per_day == 0) return rendered(no_runs_text(zone), style);
    const Argument minutes{"minutes", run_length(run.minutes_per_cycle)};
    const Argument starts{"starts", start_times(run.start_minutes)};
    const Phrase runs =
        run.cycles_per_day == 1
            ? Phrase("base.one_cycle"_text, {minutes, starts})
            : Phrase("base.cycles"_text, {{"count", std::to_string(run.cycles_per_day)},
                                          minutes,
                                          {"total", run_length(run.minutes_per_day)},
                                          starts,
                                          {"soak", run_length(run.soak_minutes)}});
    if (!run.l_per_plant) return rendered(runs, style);
    return rendered({"base.per_plant"_text,
                     {{"run", runs}, {"volume", plant_volume_with_unit(*run.l_per_plant, style)}}},
                    style);
}

std::vector<std::string> percentage_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<Phrase> out;
    const DemandPlan& plan = report.plan;
    if (plan.site.programs.empty()) return {};
    if (plan.zones.size() > 1)
        out.push_back({"adjust.one_for_all"_text, {{"share", percent_text(kMinShareOfNeed)}}});
    if (plan.site.need.volume_l > 0.0) {
        const double excess_l = plan.site.by_percentage.volume_l - plan.site.need.volume_l;
        out.push_back(
            {excess_l < 0.0 ? "adjust.less"_text : "adjust.more"_text,
             {{"volume", volume_with_unit(plan.site.by_percentage.volume_l, style)},
              {"percent", fixed(std::fabs(excess_l) / plan.site.need.volume_l * 100.0, 1)}}});
    }
    std::vector<Phrase> changes = changed_program_sentences(plan);
    out.emplace_back(changes.empty() ? "adjust.same_days"_text : "adjust.changed_days"_text);
    std::move(changes.begin(), changes.end(), std::back_inserter(out));
    if (Phrase off = zones_to_turn_off(plan); !off.empty())
        out.push_back({"adjust.turn_off"_text, {{"zones", std::move(off)}}});
    if (Phrase late = late_nights_by_percentage(plan); !late.empty())
        out.push_back(std::move(late));
    return rendered(out, style);
}

std::vector<std::string> new_planting_sentences(const DemandReport& report,
                                                const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        if (!zone.new_planting) continue;
        const NewPlantingPlan& plan = *zone.new_planting;
        const Argument until{"until", day_phrase(plan.wanted.until)};
        const Phrase dates = plan.wanted.from
                                 ? Phrase("new_planting.from_to"_text,
                                          {{"from", day_phrase(*plan.wanted.from)}, until})
                                 : Phrase("new_planting.to"_text, {until});
        const Phrase runs =
            plan.runs_per_day == 1
                ? Phrase("new_planting.one_run"_text)
                : Phrase("new_planting.runs"_text, {{"count", std::to_string(plan.runs_per_day)}});
        const Phrase days =
            plan.day_names.empty()
                ? Phrase("days.per_week"_text, {{"count", days_number(plan.days_per_week)}})
                : plan.day_names;
        std::vector<Phrase> sentences{
            {"new_planting.schedule"_text,
             {{"zone", zone.name},
              {"dates", dates},
              {"runs", runs},
              {"minutes", run_length(plan.minutes_per_run)},
              {"days", days},
              {"volume", volume_with_unit(plan.l_per_watering_day, style)}}}};
        if (plan.volume_l) {
            sentences.push_back({"new_planting.total"_text,
                                 {{"volume", volume_with_unit(*plan.volume_l, style)},
                                  {"count", std::to_string(*plan.watering_days)}}});
        } else {
            sentences.emplace_back("new_planting.no_total"_text);
        }
        out.push_back(rendered(Phrase::joined(std::move(sentences), " "), style));
    }
    return out;
}

std::string peak_need_text(const ZonePlan& zone, const TextStyle& style) {
    if (!zone.peak_need_month) return {};
    const auto month = static_cast<std::size_t>(*zone.peak_need_month - 1);
    const auto& peak = zone.months[month];
    std::string net = depth_text(peak.net_mm, style);
    if (zone.peak_net_se_mm) net += " ± " + depth_text(*zone.peak_net_se_mm, style);
    const Argument of_month{"month", month_in_full(month)};
    const Argument with_error{"net", net + " " + depth_unit(style)};
    if (!zone.cautious_peak_net_mm || peak.net_mm <= 0.0)
        return rendered({"uncertainty.peak"_text, {of_month, with_error}}, style);
    return rendered({"uncertainty.peak_conservative"_text,
                     {of_month,
                      with_error,
                      {"conservative", depth_with_unit(*zone.cautious_peak_net_mm, style)},
                      {"percent", fixed(100.0 * *zone.cautious_peak_net_mm / peak.net_mm, 0)}}},
                    style);
}

std::string uncertainty_sentence(const DemandReport& report, const TextStyle& style) {
    const auto& zones = report.plan.zones;
    if (std::none_of(zones.begin(), zones.end(),
                     [](const ZonePlan& zone) { return zone.peak_need_month.has_value(); })) {
        return {};
    }
    const bool is_known = std::any_of(zones.begin(), zones.end(), [](const ZonePlan& zone) {
        return zone.peak_net_se_mm.has_value();
    });
    return rendered(is_known ? "uncertainty.meaning"_text : "uncertainty.unknown"_text, style);
}

std::string sensor_step(int mm, const TextStyle& style) {
    if (style.units == UnitSystem::metric) return std::to_string(mm) + " " + depth_unit(style);
    constexpr std::array<std::pair<int, std::string_view>, 5> kSteps{
        {{3, "1/8"}, {6, "1/4"}, {13, "1/2"}, {19, "3/4"}, {25, "1"}}};
    for (const auto& [step_mm, text] : kSteps)
        if (step_mm == mm) return std::string(text) + " " + depth_unit(style);
    return depth_with_unit(mm, style);
}

std::string rain_shutoff_sentence(const DemandReport& report, const TextStyle& style) {
    const Argument step{"step", sensor_step(report.plan.site.rain_shutoff_mm, style)};
    if (report.plan.zones.size() < 2) return rendered({"sensor.set"_text, {step}}, style);
    std::string zones;
    for (const ZonePlan& zone : report.plan.zones)
        add_word(zones, zone.name + " " + sensor_step(zone.rain_shutoff_mm, style), "; ");
    return rendered({"sensor.set_zones"_text, {step, {"zones", zones}}}, style);
}

TextKey comparison_words(const std::string& name) {
    if (name == "two_settings") return "year.two_settings"_text;
    if (name == "peak_all_season") return "year.peak_all_season"_text;
    if (name == "peak_all_year") return "year.peak_all_year"_text;
    return "year.current"_text;
}

std::vector<YearFigure> year_figures(const DemandReport& report, const TextStyle& style) {
    const SitePlan& site = report.plan.site;
    std::vector<YearFigure> out{
        year_figure("year.need"_text, site.need, report, style),
        year_figure("year.by_month"_text, site.year, report, style),
        year_figure("year.by_percentage"_text, site.by_percentage, report, style)};
    double before_l = -1.0;
    for (const Comparison& comparison : site.comparisons) {
        // The season is the whole year if every month has a need.
        if (comparison.year.volume_l - before_l < kSameVolumeL) continue;
        before_l = comparison.year.volume_l;
        out.push_back(
            year_figure(comparison_words(comparison.name), comparison.year, report, style));
        out.back().is_followed_by_saving = true;
        out.push_back(year_figure("year.savings"_text, comparison.saving, report, style));
    }
    return out;
}

std::vector<std::string> meter_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const MeterPeriod& period : report.meter) {
        const Phrase percent =
            period.planned_l > 0.0
                ? Phrase("meter.percent"_text,
                         {{"percent",
                           fixed(std::fabs(period.difference_l) / period.planned_l * 100.0, 0)}})
                : Phrase();
        out.push_back(
            rendered({period.difference_l < 0.0 ? "meter.less"_text : "meter.more"_text,
                      {{"from", day_phrase(period.from)},
                       {"to", day_phrase(period.to)},
                       {"used", volume_with_unit(period.used_l, style)},
                       {"planned", volume_with_unit(period.planned_l, style)},
                       {"difference", volume_with_unit(std::fabs(period.difference_l), style)},
                       {"percent", percent}}},
                     style));
    }
    return out;
}

namespace {

/// What the dry year asks for, and whether the allowances cover it.
void add_dry_year(std::vector<Phrase>& out, const DemandReport& report, const TextStyle& style) {
    if (!report.years) return;
    const YearNeeds& years = *report.years;
    const Argument dry{"dry", volume_with_unit(years.dry.volume_l, style)};
    const Argument normals{"mean", volume_with_unit(years.normals.volume_l, style)};
    if (years.dry.cost && years.normals.cost) {
        out.push_back({"year.dry_need_cost"_text,
                       {dry,
                        {"dry_cost", money(*years.dry.cost, report.set.currency)},
                        normals,
                        {"mean_cost", money(*years.normals.cost, report.set.currency)}}});
    } else {
        out.push_back({"year.dry_need"_text, {dry, normals}});
    }
    if (!years.dry_allowance_short_l) return;
    if (*years.dry_allowance_short_l > 0.0) {
        out.push_back({"year.allowance_short"_text,
                       {{"volume", volume_with_unit(*years.dry_allowance_short_l, style)}}});
    } else {
        out.emplace_back("year.allowance_enough"_text);
    }
}

}  // namespace

std::vector<std::string> year_notes(const DemandReport& report, const TextStyle& style) {
    std::vector<Phrase> out;
    if (!report.set.price) out.emplace_back("year.no_price"_text);
    const auto falls_short = [](const ZonePlan& zone) {
        return std::any_of(zone.conflicts.begin(), zone.conflicts.end(),
                           [](const Conflict& conflict) { return conflict.short_mm > 0.0; });
    };
    if (std::any_of(report.plan.zones.begin(), report.plan.zones.end(), falls_short))
        out.emplace_back("year.understated"_text);
    if (report.plan.site.fixed_charges && *report.plan.site.fixed_charges > 0.0) {
        out.push_back({"year.fixed_charges"_text,
                       {{"amount", money(*report.plan.site.fixed_charges, report.set.currency)}}});
    }
    add_dry_year(out, report, style);
    return rendered(out, style);
}

}  // namespace thirstline
