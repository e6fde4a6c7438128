#include "lookup/demand_output/demand_sentences.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "lookup/demand_output/controller_settings.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/base/words.hpp"
#include "schema/text/rounding.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

std::string month_name(int month) {
    return std::string(kMonthNames[static_cast<std::size_t>(month - 1)]);
}

/// The conflicts of one zone with one rule.
struct Collision {
    const Conflict* worst = nullptr;
    std::vector<int> months;
};

std::vector<Collision> collisions_of(const std::vector<Conflict>& conflicts) {
    std::vector<Collision> out;
    for (const Conflict& conflict : conflicts) {
        const auto known = std::find_if(
            out.begin(), out.end(),
            [&conflict](const Collision& other) { return other.worst->rule == conflict.rule; });
        if (known == out.end()) {
            out.push_back({&conflict, {conflict.month}});
            continue;
        }
        known->months.push_back(conflict.month);
        if (conflict.short_mm > known->worst->short_mm) known->worst = &conflict;
    }
    return out;
}

std::string day_text(const CalendarDay& day) {
    return std::to_string(day.day) + " " + month_name(day.month) + " " + std::to_string(day.year);
}

/// The rule's key in words, as the subject of a sentence.
std::string rule_words(const std::string& rule) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 9> kWords{{
        {"allowed_days", "the allowed days leave"},
        {"days_per_week_cap", "the days allowed a week leave"},
        {"runs_per_week_cap", "the runs allowed a week leave"},
        {"window_hours", "the night's window leaves"},
        {"flow", "the connection's flow leaves"},
        {"weekly_depth_cap", "the depth allowed a week leaves"},
        {"monthly_allowance", "the month's allowance leaves"},
        {"yearly_allowance", "the year's allowance leaves"},
        {"soil", "the soil leaves"},
    }};
    for (const auto& [key, words] : kWords) {
        if (key == rule) return std::string(words);
    }
    return "the rule " + rule + " leaves";
}

bool limits_days(const AllowedDays& days) {
    return days.rule != DayRule::any;
}

std::string days_rule_text(const AllowedDays& days) {
    switch (days.rule) {
        case DayRule::odd_dates:
            return "odd dates only";
        case DayRule::even_dates:
            return "even dates only";
        case DayRule::weekdays: {
            std::string list;
            for (std::size_t d = 0; d < days.weekdays.size(); ++d) {
                if (!days.weekdays[d]) continue;
                add_word(list, kWeekdayAbbreviations[d]);
            }
            return list + " only";
        }
        case DayRule::any:
            break;
    }
    return "any day";
}

YearFigure year_figure(std::string what, const YearTotals& totals, const DemandReport& report,
                       const TextStyle& style) {
    return {std::move(what), volume_with_unit(totals.volume_l, style),
            totals.cost ? money(*totals.cost, report.set.currency) : ""};
}

/// "north lawn in Jan and Dec": where the controller's percentage would water a zone that is
/// dormant or has no need.
std::string watered_without_need(const DemandPlan& plan) {
    std::string out;
    for (const ZonePlan& zone : plan.zones) {
        std::vector<std::string> months;
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (zone.months[m].net_mm <= 0.0 && plan.site.curve.percent_to_enter[m] > 0) {
                months.emplace_back(kMonthAbbreviations[m]);
            }
        }
        if (!months.empty()) {
            out += (out.empty() ? "" : "; ") + zone.name + " in " + joined_with_and(months);
        }
    }
    return out;
}

}  // namespace

std::vector<std::string> conflict_sentences(const DemandReport& report) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        for (const Collision& collision : collisions_of(zone.conflicts)) {
            std::vector<std::string> others;
            for (const int month : collision.months) {
                if (month != collision.worst->month) others.push_back(month_name(month));
            }
            std::string text = zone.name + ", " + month_name(collision.worst->month) + ": " +
                               rule_words(collision.worst->rule) + " it short by " +
                               collision.worst->short_by +
                               ". It would help: " + collision.worst->would_help + ".";
            if (others.size() == kMonths - 1) {
                text += " The same in all other months, to a lesser degree.";
            } else if (!others.empty()) {
                text += " The same in " + joined_with_and(others) + ", to a lesser degree.";
            }
            out.push_back(std::move(text));
        }
    }
    return out;
}

std::string no_runs_text(const ZonePlan& zone) {
    return zone.peak_need_month ? "no run is possible within the rules"
                                : "no watering: no month has a need";
}

std::string base_run_sentence(const DemandReport& report, const ZonePlan& zone) {
    const BaseRun& run = zone.base_run;
    const CycleSetting setting = base_setting(report, zone);
    if (setting.cycles_per_day == 0) return no_runs_text(zone);
    const double total = setting.cycles_per_day * setting.minutes_per_cycle;
    std::string out =
        run.day_names.empty() ? days_number(run.days_per_week) + " days a week" : run.day_names;
    out += ": " + run_length(total) + " a day";
    if (setting.cycles_per_day > 1) {
        out += ", in " + std::to_string(setting.cycles_per_day) + " cycles of " +
               run_length(setting.minutes_per_cycle) + " with at least " +
               run_length(run.soak_minutes) + " of soaking between";
    }
    return out;
}

std::vector<std::string> curve_sentences(const DemandReport& report) {
    std::vector<std::string> out;
    if (report.plan.zones.size() > 1) {
        out.emplace_back(
            "One percentage for all zones: in each month that of the zone which needs the "
            "greatest share of its own peak, so that none gets too little. A programme of its own "
            "for each kind of planting saves what the others get too much.");
    }
    const auto& cut = report.plan.site.curve.days_cut_first;
    if (std::find(cut.begin(), cut.end(), true) != cut.end()) {
        out.emplace_back(
            "* At this percentage some zone's run would be too short to wet its roots: take days "
            "away first, as the table of each zone has them.");
    }
    if (const std::string off = watered_without_need(report.plan); !off.empty()) {
        out.push_back("Switch off what is dormant or needs nothing: " + off + ".");
    }
    return out;
}

std::vector<std::string> new_planting_sentences(const DemandReport& report,
                                                const TextStyle& style) {
    std::vector<std::string> out;
    for (const ZonePlan& zone : report.plan.zones) {
        if (!zone.new_planting) continue;
        const NewPlantingPlan& plan = *zone.new_planting;
        std::string text = zone.name + ", new planting";
        if (plan.wanted.from) text += " from " + day_text(*plan.wanted.from);
        text += " until " + day_text(plan.wanted.until) + ": " + std::to_string(plan.runs_per_day) +
                (plan.runs_per_day == 1 ? " run" : " runs") + " a day of " +
                run_length(plan.minutes_per_run) + ", " +
                (plan.day_names.empty() ? days_number(plan.days_per_week) + " days a week"
                                        : plan.day_names) +
                " (" + volume_with_unit(plan.l_per_day, style) +
                " a day). No monthly percentage cuts them; from the day after, the zone follows "
                "its plan.";
        if (plan.volume_l) {
            text += " In all " + volume_with_unit(*plan.volume_l, style) +
                    ", which the year's water does not hold.";
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
        text += ", cautiously " + depth_text(*zone.cautious_peak_net_mm, style) + " (" +
                fixed(100.0 * *zone.cautious_peak_net_mm / peak.net_mm, 0) + " %)";
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
        return "± is one standard error of the mean of many years. The cautious estimate is the "
               "80th percentile of what is not known about that mean; it is not a dry year.";
    }
    return "This file states no standard errors: how sure the need is, is not known.";
}

std::string rain_shutoff_sentence(const DemandReport& report, const TextStyle& style) {
    const double mm = report.plan.site.rain_shutoff_mm;
    std::string out = "Rain shut-off: set the sensor to " + depth_with_unit(mm, style) +
                      ", by what the soil can store in the root zone";
    if (report.plan.zones.size() < 2) return out + ".";
    out += " (by zone: ";
    for (std::size_t i = 0; i < report.plan.zones.size(); ++i) {
        const ZonePlan& zone = report.plan.zones[i];
        out += (i > 0 ? "; " : "") + zone.name + " " + depth_with_unit(zone.rain_shutoff_mm, style);
    }
    return out + ").";
}

std::vector<YearFigure> year_figures(const DemandReport& report, const TextStyle& style) {
    const SitePlan& site = report.plan.site;
    std::vector<YearFigure> out{
        year_figure("This plan", site.year, report, style),
        year_figure("The peak's runs all season", site.fixed_all_season, report, style)};
    // The season is the year where every month has a need.
    if (site.fixed_all_year.volume_l > site.fixed_all_season.volume_l) {
        out.push_back(year_figure("The peak's runs all year", site.fixed_all_year, report, style));
    }
    out.push_back(year_figure("Saving against all season", site.saving, report, style));
    return out;
}

std::vector<std::string> year_notes(const DemandReport& report) {
    std::vector<std::string> out;
    if (!report.set.price) {
        out.emplace_back("No water price was given, so that there is no cost.");
    }
    const auto falls_short = [](const ZonePlan& zone) {
        return std::any_of(zone.conflicts.begin(), zone.conflicts.end(),
                           [](const Conflict& conflict) { return conflict.short_mm > 0.0; });
    };
    if (std::any_of(report.plan.zones.begin(), report.plan.zones.end(), falls_short)) {
        out.emplace_back(
            "The rules leave plants short, so that this is less than they need, and the saving "
            "says little.");
    }
    if (report.plan.site.fixed_charges && *report.plan.site.fixed_charges > 0.0) {
        out.push_back("Fixed charges of " +
                      money(*report.plan.site.fixed_charges, report.set.currency) +
                      " a year are due with or without watering and not counted.");
    }
    return out;
}

std::string rules_sentence(const DemandReport& report, const TextStyle& style) {
    const LocalRules& rules = report.set.rules;
    std::vector<std::string> parts;
    if (limits_days(rules.allowed_days)) parts.push_back(days_rule_text(rules.allowed_days));
    if (rules.window_hours) {
        parts.push_back("a window of " + run_length(*rules.window_hours * 60.0));
    }
    if (rules.days_per_week_cap) {
        parts.push_back("at most " + std::to_string(*rules.days_per_week_cap) + " days a week");
    }
    if (rules.runs_per_week_cap) {
        parts.push_back("at most " + std::to_string(*rules.runs_per_week_cap) + " runs a week");
    }
    if (rules.weekly_depth_cap_mm) {
        parts.push_back("at most " + depth_with_unit(*rules.weekly_depth_cap_mm, style) +
                        " a week");
    }
    if (rules.monthly_allowance_l) {
        parts.push_back(volume_with_unit(*rules.monthly_allowance_l, style) + " a month");
    }
    if (rules.yearly_allowance_l) {
        parts.push_back(volume_with_unit(*rules.yearly_allowance_l, style) + " a year");
    }
    if (parts.empty()) return {};
    return "Local rules as given: " + joined_with_and(parts) + ".";
}

}  // namespace thirstline
