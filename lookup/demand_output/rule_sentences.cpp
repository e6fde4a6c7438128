#include "lookup/demand_output/rule_sentences.hpp"

#include <array>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/words.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

/// "8", "0.5"
std::string number_without_zeros(double value) {
    std::string text = fixed(value, 2);
    while (text.ends_with('0')) text.pop_back();
    if (text.ends_with('.')) text.pop_back();
    return text;
}

std::string weekday_list(const Weekdays& weekdays) {
    std::string list;
    for (std::size_t d = 0; d < weekdays.size(); ++d)
        if (weekdays[d]) add_word(list, kWeekdayAbbreviations[d]);
    return list;
}

std::string days_rule_text(const AllowedDays& days) {
    switch (days.rule) {
        case DayRule::odd_dates:
            return "odd dates";
        case DayRule::even_dates:
            return "even dates";
        case DayRule::weekdays:
            return weekday_list(days.weekdays);
        case DayRule::any:
            break;
    }
    return "any day";
}

std::string barred_text(const std::vector<BarredSpan>& spans) {
    std::string out;
    for (const BarredSpan& span : spans) {
        const std::string days =
            span.weekdays == kEveryDay ? "" : " (" + weekday_list(span.weekdays) + ")";
        const std::string to =
            span.to_minutes == kClockMinutes ? "24:00" : clock_text(span.to_minutes);
        add_word(out, clock_text(span.from_minutes) + " to " + to + days);
    }
    return "no watering " + out;
}

/// Caps that can be in the year's rules and in a restriction.
template <class Rules>
void add_caps(std::vector<std::string>& parts, const Rules& rules, const TextStyle& style) {
    const auto at_most = [&](const std::string& amount, const char* per) {
        parts.push_back("at most " + amount + per);
    };
    const auto count = [](int number, const char* thing) {
        return std::to_string(number) + " " + thing + (number == 1 ? "" : "s");
    };
    if (rules.days_per_week_cap) at_most(count(*rules.days_per_week_cap, "day"), " per week");
    if (rules.runs_per_week_cap) at_most(count(*rules.runs_per_week_cap, "cycle"), " per week");
    if (rules.cycles_per_day_cap) at_most(count(*rules.cycles_per_day_cap, "cycle"), " per day");
    if (rules.minutes_per_day_cap)
        at_most(number_without_zeros(*rules.minutes_per_day_cap) + " min", " per zone and day");
    if (rules.weekly_depth_cap_mm)
        at_most(depth_with_unit(*rules.weekly_depth_cap_mm, style), " per week");
}

std::string joined(const std::vector<std::string>& parts) {
    std::string list;
    for (const std::string& part : parts) list += (list.empty() ? "" : "; ") + part;
    return list;
}

std::vector<std::string> year_parts(const LocalRules& rules, const TextStyle& style) {
    std::vector<std::string> parts;
    if (rules.allowed_days.rule != DayRule::any)
        parts.push_back(days_rule_text(rules.allowed_days));
    if (rules.window_hours) {
        parts.push_back(number_without_zeros(*rules.window_hours) + "-hour water window" +
                        (rules.window_start ? " from " + clock_text(rules.window_start->minutes)
                                            : std::string()));
    }
    if (!rules.barred_hours.empty()) parts.push_back(barred_text(rules.barred_hours));
    add_caps(parts, rules, style);
    if (rules.monthly_allowance_l)
        parts.push_back(volume_with_unit(*rules.monthly_allowance_l, style) + " per month");
    if (rules.yearly_allowance_l)
        parts.push_back(volume_with_unit(*rules.yearly_allowance_l, style) + " per year");
    if (rules.exempt.drip) parts.emplace_back("drip zones exempt");
    if (rules.exempt.new_plantings) parts.emplace_back("new plantings exempt");
    return parts;
}

std::string date_text(const YearDay& day) {
    return std::string(kMonthAbbreviations[static_cast<std::size_t>(day.month - 1)]) + " " +
           std::to_string(day.day);
}

std::string restriction_text(const Restriction& restriction, const TextStyle& style) {
    std::vector<std::string> parts;
    if (restriction.allowed_days) parts.push_back(days_rule_text(*restriction.allowed_days));
    if (restriction.barred_hours && !restriction.barred_hours->empty())
        parts.push_back(barred_text(*restriction.barred_hours));
    add_caps(parts, restriction, style);
    return "From " + date_text(restriction.dates.first) + " to " +
           date_text(restriction.dates.last) + ": " +
           (parts.empty() ? "no other rule" : joined(parts)) + ".";
}

}  // namespace

std::string rules_sentence(const DemandReport& report, const TextStyle& style) {
    const LocalRules& rules = report.set.rules;
    const std::vector<std::string> parts = year_parts(rules, style);
    if (parts.empty() && rules.restrictions.empty()) return {};
    std::string out = "Watering rules used" + (parts.empty() ? "." : ": " + joined(parts) + ".");
    for (const Restriction& restriction : rules.restrictions)
        out += " " + restriction_text(restriction, style);
    return out;
}

std::string rule_words(std::string_view rule, bool is_too_far_apart, const LocalRules& rules) {
    if (rule == "window_hours") {
        return "the water window (" + number_without_zeros(rules.window_hours.value_or(24.0)) +
               " h) is too short";
    }
    if (rule == "allowed_days") {
        return is_too_far_apart ? "allowed watering days are too far apart"
                                : "too few watering days are allowed";
    }
    constexpr std::array<std::pair<std::string_view, std::string_view>, 14> kWords{{
        {"barred_hours", "the hours open for watering are too short"},
        {"days_per_week_cap", "too few watering days per week are allowed"},
        {"runs_per_week_cap", "too few cycles per week are allowed"},
        {"cycles_per_day_cap", "too few cycles per day are allowed"},
        {"minutes_per_day_cap", "too few minutes per day are allowed"},
        {"start_times", "the controller has too few start times"},
        {"cycles_possible", "the controller runs one cycle a day"},
        {"flow", "available flow is too low"},
        {"weekly_depth_cap", "the weekly depth limit is too low"},
        {"monthly_allowance", "the monthly water allowance is too small"},
        {"yearly_allowance", "the annual water allowance is too small"},
        {"soil", "the root zone holds too little water"},
        {"minute_step", "run times cannot be set finely enough"},
        {"percentage", "one percentage for the program is too low"},
    }};
    for (const auto& [key, words] : kWords)
        if (key == rule) return std::string(words);
    return "the rule " + std::string(rule) + " limits watering";
}

}  // namespace thirstline
