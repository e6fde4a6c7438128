#include "lookup/demand_output/demand_sentences.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/rule_sentences.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/base/words.hpp"
#include "schema/text/rounding.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

std::string month_name(int month) {
    return std::string(kMonthNames[static_cast<std::size_t>(month - 1)]);
}

/// The conflicts of all zones with one rule.
struct RuleShortage {
    const ZonePlan* worst_zone = nullptr;
    const Conflict* worst = nullptr;
    std::vector<std::string> zones;  ///< in order, each once
    Monthly<bool> months{};
};

bool is_worse(const Conflict& a, const Conflict& b) {
    if (a.short_mm != b.short_mm) return a.short_mm > b.short_mm;
    return a.drawn_mm > b.drawn_mm;
}

std::vector<RuleShortage> shortages_of(const std::vector<ZonePlan>& zones) {
    std::vector<RuleShortage> out;
    for (const ZonePlan& zone : zones) {
        for (const Conflict& conflict : zone.conflicts) {
            auto known = std::find_if(out.begin(), out.end(), [&](const RuleShortage& other) {
                return other.worst->rule == conflict.rule &&
                       (other.worst->short_mm > 0.0) == (conflict.short_mm > 0.0) &&
                       other.worst->is_of_new_planting == conflict.is_of_new_planting;
            });
            if (known == out.end()) {
                known = out.insert(out.end(), RuleShortage{&zone, &conflict, {}, {}});
            } else if (is_worse(conflict, *known->worst)) {
                known->worst_zone = &zone;
                known->worst = &conflict;
            }
            known->months[static_cast<std::size_t>(conflict.month - 1)] = true;
            if (known->zones.empty() || known->zones.back() != zone.name)
                known->zones.push_back(zone.name);
        }
    }
    return out;
}

constexpr std::size_t kZonesNamed = 4;
constexpr double kSameVolumeL = 1.0;

/// "Also in June and August, and in 3 more zones: a, b and c."; empty for none.
std::string others_text(const RuleShortage& shortage) {
    std::vector<std::string> months;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (shortage.months[m] && static_cast<int>(m) + 1 != shortage.worst->month)
            months.emplace_back(kMonthAbbreviations[m]);
    }
    std::vector<std::string> zones;
    for (const std::string& zone : shortage.zones)
        if (zone != shortage.worst_zone->name) zones.push_back(zone);
    std::string out;
    if (!months.empty()) {
        out = months.size() == kMonths - 1 ? " Also in all other months, less."
                                           : " Also in " + joined_with_and(months) + ", less.";
    }
    if (zones.empty()) return out;
    const std::size_t count = zones.size();
    if (count > kZonesNamed) {
        zones.resize(kZonesNamed - 1);
        zones.push_back(std::to_string(count - zones.size()) + " more");
    }
    return out + " Also " + (count == 1 ? "zone " : std::to_string(count) + " other zones: ") +
           joined_with_and(zones) + ".";
}

std::string day_text(const CalendarDay& day) {
    return std::to_string(day.day) + " " + month_name(day.month) + " " + std::to_string(day.year);
}

std::string shortage_sentence(const RuleShortage& shortage, const LocalRules& rules) {
    const Conflict& worst = *shortage.worst;
    std::string text = shortage.worst_zone->name + ", ";
    if (worst.is_of_new_planting) {
        text += "new planting: " + rule_words(worst.rule, worst.short_mm <= 0.0, rules) +
                "; cut by " + worst.short_by;
    } else {
        text += month_name(worst.month) + ": " +
                rule_words(worst.rule, worst.short_mm <= 0.0, rules) +
                (worst.short_mm > 0.0 ? "; short by " : ", by ") + worst.short_by;
    }
    return text + ". To fix: " + worst.remedy + "." + others_text(shortage);
}

YearFigure year_figure(std::string what, const YearTotals& totals, const DemandReport& report,
                       const TextStyle& style) {
    return {std::move(what), volume_with_unit(totals.volume_l, style),
            totals.cost ? money(*totals.cost, report.set.currency) : ""};
}

/// "north lawn in Jan and Dec": months in which a program's percentage would water a zone that is
/// off.
std::string zones_to_turn_off(const DemandPlan& plan) {
    std::string out;
    for (const ZonePlan& zone : plan.zones) {
        if (zone.base_run.program == 0) continue;
        const ProgramPlan& program =
            plan.site.programs[static_cast<std::size_t>(zone.base_run.program - 1)];
        std::vector<std::string> months;
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (zone.months[m].off != Off::no && program.percent[m] > 0)
                months.emplace_back(kMonthAbbreviations[m]);
        }
        if (!months.empty()) {
            out += (out.empty() ? "" : "; ") + zone.name + " in " + joined_with_and(months);
        }
    }
    return out;
}

}  // namespace

std::vector<std::string> job_lines(const JobSheet& job) {
    std::vector<std::string> lines;
    const auto add = [&lines](std::string_view what, const std::string& value) {
        if (!value.empty()) lines.push_back(std::string(what) + ": " + value);
    };
    add("Customer", job.customer);
    add("Address", job.address);
    add("Prepared by",
        job.contractor + (job.license.empty() ? "" : " (license " + job.license + ")"));
    add("Date", job.date);
    add("Notes", job.notes);
    return lines;
}

std::vector<std::string> conflict_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const RuleShortage& shortage : shortages_of(report.plan.zones))
        out.push_back(in_reader_units(shortage_sentence(shortage, report.set.rules), style));
    return out;
}

std::string no_runs_text(const ZonePlan& zone) {
    return zone.peak_need_month ? "no run is possible within the rules"
                                : "no watering: no month has a need";
}

std::string base_schedule_heading(const DemandPlan& plan) {
    const auto is_of_peak = [&](const ProgramPlan& program) {
        const int greatest = *std::max_element(program.percent.begin(), program.percent.end());
        return std::any_of(plan.zones.begin(), plan.zones.end(), [&](const ZonePlan& zone) {
            return zone.base_run.program == program.number && zone.peak_need_month &&
                   program.percent[static_cast<std::size_t>(*zone.peak_need_month - 1)] == greatest;
        });
    };
    const auto& programs = plan.site.programs;
    return std::all_of(programs.begin(), programs.end(), is_of_peak)
               ? "Base schedule (peak month = 100%)"
               : "Base schedule (100%)";
}

std::string base_run_sentence(const ZonePlan& zone) {
    const BaseRun& run = zone.base_run;
    if (run.cycles_per_day == 0) return no_runs_text(zone);
    const std::string each = run_length(run.minutes_per_cycle);
    const std::string starts = ", start " + start_times_text(run.start_minutes);
    if (run.cycles_per_day == 1) return "1 cycle × " + each + starts;
    return std::to_string(run.cycles_per_day) + " cycles × " + each + " (" +
           run_length(run.minutes_per_day) + "/day)" + starts + ", soak at least " +
           run_length(run.soak_minutes) + " (cycle and soak)";
}

std::vector<std::string> percentage_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    const DemandPlan& plan = report.plan;
    if (plan.site.programs.empty()) return out;
    if (plan.zones.size() > 1) {
        out.emplace_back(
            "One percentage serves all zones of a program: each month it follows the zone with the "
            "highest percent of peak, so none is under-watered. Zones are grouped by kind of need "
            "(hydrozones).");
    }
    if (plan.site.need.volume_l > 0.0) {
        const double excess_l = plan.site.by_percentage.volume_l - plan.site.need.volume_l;
        out.push_back("By percentage the year takes " +
                      volume_with_unit(plan.site.by_percentage.volume_l, style) + ", " +
                      fixed(std::fabs(excess_l) / plan.site.need.volume_l * 100.0, 1) +
                      (excess_l < 0.0 ? "% less" : "% more") + " than the need.");
    }
    const std::vector<std::string> changes = changed_program_sentences(plan);
    if (changes.empty()) {
        out.emplace_back("Days and start times stay as in the base schedule.");
    } else {
        out.emplace_back(
            "Days and start times stay as in the base schedule, but for these changes:");
        out.insert(out.end(), changes.begin(), changes.end());
    }
    if (const std::string off = zones_to_turn_off(plan); !off.empty())
        out.push_back("Turn these zones off: " + off + ".");
    return out;
}

std::vector<std::string> new_planting_sentences(const DemandReport& report,
                                                const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        if (!zone.new_planting) continue;
        const NewPlantingPlan& plan = *zone.new_planting;
        std::string text = zone.name;
        if (plan.wanted.from) text += ", from " + day_text(*plan.wanted.from);
        text += (plan.wanted.from ? " to " : ", to ") + day_text(plan.wanted.until) + ": " +
                std::to_string(plan.runs_per_day) +
                (plan.runs_per_day == 1 ? " run per day × " : " runs per day × ") +
                run_length(plan.minutes_per_run) + ", " +
                (plan.day_names.empty() ? days_number(plan.days_per_week) + " days per week"
                                        : plan.day_names) +
                " (" + volume_with_unit(plan.l_per_watering_day, style) +
                " each watering day). Not reduced by the seasonal adjustment; the zone's own "
                "schedule follows.";
        if (plan.volume_l) {
            text += " Total " + volume_with_unit(*plan.volume_l, style) + " on " +
                    std::to_string(*plan.watering_days) +
                    " watering days, not included in the annual total.";
        }
        out.push_back(std::move(text));
    }
    return out;
}

std::string peak_need_text(const ZonePlan& zone, const TextStyle& style) {
    if (!zone.peak_need_month) return {};
    const auto& peak = zone.months[static_cast<std::size_t>(*zone.peak_need_month - 1)];
    std::string text =
        month_name(*zone.peak_need_month) + ": net " + depth_text(peak.net_mm, style);
    if (zone.peak_net_se_mm) text += " ± " + depth_text(*zone.peak_net_se_mm, style);
    text += " " + depth_unit(style);
    if (zone.cautious_peak_net_mm && peak.net_mm > 0.0) {
        text += "; conservative estimate " + depth_text(*zone.cautious_peak_net_mm, style) + " " +
                depth_unit(style) + " (" +
                fixed(100.0 * *zone.cautious_peak_net_mm / peak.net_mm, 0) + "%)";
    }
    return text;
}

std::string uncertainty_sentence(const DemandReport& report) {
    const auto& zones = report.plan.zones;
    if (std::none_of(zones.begin(), zones.end(),
                     [](const ZonePlan& zone) { return zone.peak_need_month.has_value(); })) {
        return {};
    }
    if (std::any_of(zones.begin(), zones.end(),
                    [](const ZonePlan& zone) { return zone.peak_net_se_mm.has_value(); })) {
        return "± is one standard error of the long-term mean. The conservative estimate is the "
               "80th "
               "percentile of the uncertainty in the long-term mean, not an 80th-percentile dry "
               "year.";
    }
    return "This file has no standard errors: no uncertainty can be given.";
}

std::string sensor_step(int mm, const TextStyle& style) {
    if (style.units == UnitSystem::metric) return std::to_string(mm) + " mm";
    constexpr std::array<std::pair<int, std::string_view>, 5> kSteps{
        {{3, "1/8 in"}, {6, "1/4 in"}, {13, "1/2 in"}, {19, "3/4 in"}, {25, "1 in"}}};
    for (const auto& [step_mm, text] : kSteps)
        if (step_mm == mm) return std::string(text);
    return depth_with_unit(mm, style);
}

std::string rain_shutoff_sentence(const DemandReport& report, const TextStyle& style) {
    std::string out = "Rain sensor: set to " +
                      sensor_step(report.plan.site.rain_shutoff_mm, style) +
                      " (half the root zone's allowable depletion, rounded down to a sensor step)";
    if (report.plan.zones.size() < 2) return out + ".";
    out += ". By zone: ";
    for (std::size_t i = 0; i < report.plan.zones.size(); ++i) {
        const ZonePlan& zone = report.plan.zones[i];
        out += (i > 0 ? "; " : "") + zone.name + " " + sensor_step(zone.rain_shutoff_mm, style);
    }
    return out + ".";
}

std::string comparison_words(const std::string& name) {
    if (name == "two_settings") return "One change in spring and one in fall";
    if (name == "peak_all_season") return "Peak schedule all season";
    if (name == "peak_all_year") return "Peak schedule all year";
    return "Current percentages";
}

std::vector<YearFigure> year_figures(const DemandReport& report, const TextStyle& style) {
    const SitePlan& site = report.plan.site;
    std::vector<YearFigure> out{
        year_figure("Need", site.need, report, style),
        year_figure("Keyed by month", site.year, report, style),
        year_figure("Keyed by percentage", site.by_percentage, report, style)};
    double before_l = -1.0;
    for (const Comparison& comparison : site.comparisons) {
        // The season is the whole year if every month has a need.
        if (comparison.year.volume_l - before_l < kSameVolumeL) continue;
        before_l = comparison.year.volume_l;
        const std::string words = comparison_words(comparison.name);
        out.push_back(year_figure(words, comparison.year, report, style));
        out.push_back(year_figure("  savings, keyed by month", comparison.saving, report, style));
    }
    return out;
}

std::vector<std::string> meter_sentences(const DemandReport& report, const TextStyle& style) {
    std::vector<std::string> out;
    for (const MeterPeriod& period : report.meter) {
        std::string text = day_text(period.from) + " to " + day_text(period.to) + ": used " +
                           volume_with_unit(period.used_l, style) + ", planned " +
                           volume_with_unit(period.planned_l, style) + "; " +
                           volume_with_unit(std::fabs(period.difference_l), style) +
                           (period.difference_l < 0.0 ? " less" : " more") + " than planned";
        if (period.planned_l > 0.0) {
            text +=
                " (" + fixed(std::fabs(period.difference_l) / period.planned_l * 100.0, 0) + "%)";
        }
        out.push_back(text + ".");
    }
    return out;
}

std::vector<std::string> year_notes(const DemandReport& report) {
    std::vector<std::string> out;
    if (!report.set.price) out.emplace_back("No water price given: no cost.");
    const auto falls_short = [](const ZonePlan& zone) {
        return std::any_of(zone.conflicts.begin(), zone.conflicts.end(),
                           [](const Conflict& conflict) { return conflict.short_mm > 0.0; });
    };
    if (std::any_of(report.plan.zones.begin(), report.plan.zones.end(), falls_short)) {
        out.emplace_back(
            "Because rules limit watering, these figures understate the need; do not quote the "
            "savings.");
    }
    if (report.plan.site.fixed_charges && *report.plan.site.fixed_charges > 0.0) {
        out.push_back("Fixed charges of " +
                      money(*report.plan.site.fixed_charges, report.set.currency) +
                      " a year are not included.");
    }
    return out;
}

}  // namespace thirstline
