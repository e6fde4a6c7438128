#include "lookup/demand_output/rule_sentences.hpp"

#include <array>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/base/calendar.hpp"
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

Phrase weekday_list(const Weekdays& weekdays) {
    std::vector<Phrase> days;
    for (std::size_t d = 0; d < weekdays.size(); ++d)
        if (weekdays[d]) days.emplace_back(weekday_label(d));
    return Phrase::joined(std::move(days), ", ");
}

Phrase days_rule(const AllowedDays& days) {
    switch (days.rule) {
        case DayRule::odd_dates:
            return "rules.odd_dates"_text;
        case DayRule::even_dates:
            return "rules.even_dates"_text;
        case DayRule::weekdays:
            return weekday_list(days.weekdays);
        case DayRule::any:
            break;
    }
    return "rules.any_day"_text;
}

Phrase barred(const std::vector<BarredSpan>& spans) {
    std::vector<Phrase> out;
    for (const BarredSpan& span : spans) {
        const Argument from{"from", clock_text(span.from_minutes)};
        const Argument to{"to", span.to_minutes == kClockMinutes ? std::string("24:00")
                                                                 : clock_text(span.to_minutes)};
        if (span.weekdays == kEveryDay) {
            out.push_back({"rules.barred_span"_text, {from, to}});
        } else {
            out.push_back(
                {"rules.barred_span_days"_text, {from, to, {"days", weekday_list(span.weekdays)}}});
        }
    }
    return {"rules.barred"_text, {{"hours", Phrase::joined(std::move(out), ", ")}}};
}

Phrase cap(int count, TextKey one, TextKey many) {
    if (count == 1) return one;
    return {many, {{"count", std::to_string(count)}}};
}

/// Caps that can be in the year's rules and in a restriction.
template <class Rules>
void add_caps(std::vector<Phrase>& parts, const Rules& rules, const TextStyle& style) {
    if (rules.days_per_week_cap) {
        parts.push_back(
            cap(*rules.days_per_week_cap, "rules.days_cap_one"_text, "rules.days_cap"_text));
    }
    if (rules.runs_per_week_cap) {
        parts.push_back(cap(*rules.runs_per_week_cap, "rules.cycles_week_cap_one"_text,
                            "rules.cycles_week_cap"_text));
    }
    if (rules.cycles_per_day_cap) {
        parts.push_back(cap(*rules.cycles_per_day_cap, "rules.cycles_day_cap_one"_text,
                            "rules.cycles_day_cap"_text));
    }
    if (rules.minutes_per_day_cap) {
        parts.push_back({"rules.minutes_cap"_text,
                         {{"minutes", number_without_zeros(*rules.minutes_per_day_cap)}}});
    }
    if (rules.weekly_depth_cap_mm) {
        parts.push_back({"rules.depth_cap"_text,
                         {{"depth", depth_with_unit(*rules.weekly_depth_cap_mm, style)}}});
    }
}

std::vector<Phrase> year_parts(const LocalRules& rules, const TextStyle& style) {
    std::vector<Phrase> parts;
    if (rules.allowed_days.rule != DayRule::any) parts.push_back(days_rule(rules.allowed_days));
    if (rules.window_hours) {
        const Argument hours{"hours", number_without_zeros(*rules.window_hours)};
        if (rules.window_start) {
            parts.push_back({"rules.window_from"_text,
                             {hours, {"start", clock_text(rules.window_start->minutes)}}});
        } else {
            parts.push_back({"rules.window"_text, {hours}});
        }
    }
    if (!rules.barred_hours.empty()) parts.push_back(barred(rules.barred_hours));
    add_caps(parts, rules, style);
    if (rules.monthly_allowance_l) {
        parts.push_back({"rules.monthly_allowance"_text,
                         {{"volume", volume_with_unit(*rules.monthly_allowance_l, style)}}});
    }
    if (rules.yearly_allowance_l) {
        parts.push_back({"rules.yearly_allowance"_text,
                         {{"volume", volume_with_unit(*rules.yearly_allowance_l, style)}}});
    }
    if (rules.exempt.drip) parts.emplace_back("rules.drip_exempt"_text);
    if (rules.exempt.new_plantings) parts.emplace_back("rules.new_exempt"_text);
    return parts;
}

Phrase date_phrase(const YearDay& day) {
    return {"date.day_and_month"_text,
            {{"month", month_in_list(static_cast<std::size_t>(day.month - 1))},
             {"day", std::to_string(day.day)}}};
}

Phrase restriction_phrase(const Restriction& restriction, const TextStyle& style) {
    std::vector<Phrase> parts;
    if (restriction.allowed_days) parts.push_back(days_rule(*restriction.allowed_days));
    if (restriction.barred_hours && !restriction.barred_hours->empty())
        parts.push_back(barred(*restriction.barred_hours));
    add_caps(parts, restriction, style);
    if (parts.empty()) parts.emplace_back("rules.none_in_restriction"_text);
    return {"rules.restriction"_text,
            {{"first", date_phrase(restriction.dates.first)},
             {"last", date_phrase(restriction.dates.last)},
             {"rules", Phrase::joined(std::move(parts), "; ")}}};
}

}  // namespace

std::string rules_sentence(const DemandReport& report, const TextStyle& style) {
    const LocalRules& rules = report.set.rules;
    std::vector<Phrase> parts = year_parts(rules, style);
    if (parts.empty() && rules.restrictions.empty()) return {};
    std::vector<Phrase> sentences;
    if (parts.empty()) {
        sentences.emplace_back("rules.used_by_date"_text);
    } else {
        sentences.push_back(
            {"rules.used"_text, {{"rules", Phrase::joined(std::move(parts), "; ")}}});
    }
    for (const Restriction& restriction : rules.restrictions)
        sentences.push_back(restriction_phrase(restriction, style));
    return rendered(Phrase::joined(std::move(sentences), " "), style);
}

Phrase rule_words(std::string_view rule, bool is_too_far_apart, const LocalRules& rules) {
    if (rule == "window_hours") {
        return {"rule.window_hours"_text,
                {{"hours", number_without_zeros(rules.window_hours.value_or(24.0))}}};
    }
    if (rule == "allowed_days")
        return is_too_far_apart ? "rule.days_far_apart"_text : "rule.allowed_days"_text;
    constexpr std::array<std::pair<std::string_view, TextKey>, 14> kWords{{
        {"barred_hours", "rule.barred_hours"_text},
        {"days_per_week_cap", "rule.days_per_week_cap"_text},
        {"runs_per_week_cap", "rule.runs_per_week_cap"_text},
        {"cycles_per_day_cap", "rule.cycles_per_day_cap"_text},
        {"minutes_per_day_cap", "rule.minutes_per_day_cap"_text},
        {"start_times", "rule.start_times"_text},
        {"cycles_possible", "rule.cycles_possible"_text},
        {"flow", "rule.flow"_text},
        {"weekly_depth_cap", "rule.weekly_depth_cap"_text},
        {"monthly_allowance", "rule.monthly_allowance"_text},
        {"yearly_allowance", "rule.yearly_allowance"_text},
        {"soil", "rule.soil"_text},
        {"minute_step", "rule.minute_step"_text},
        {"percentage", "rule.percentage"_text},
    }};
    for (const auto& [key, words] : kWords)
        if (key == rule) return words;
    return {"rule.other"_text, {{"rule", std::string(rule)}}};
}

}  // namespace thirstline
