#include "lookup/demand/rules_of_month.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <variant>

namespace thirstline {
namespace {

std::string month_name(std::size_t m) {
    return std::string(kMonthNames[m]);
}

LocalRules with_restriction(LocalRules rules, const Restriction& restriction) {
    const auto replace = [](auto& rule, const auto& by) {
        if (by) rule = *by;
    };
    replace(rules.allowed_days, restriction.allowed_days);
    replace(rules.barred_hours, restriction.barred_hours);
    replace(rules.weekly_depth_cap_mm, restriction.weekly_depth_cap_mm);
    replace(rules.minutes_per_day_cap, restriction.minutes_per_day_cap);
    replace(rules.cycles_per_day_cap, restriction.cycles_per_day_cap);
    replace(rules.days_per_week_cap, restriction.days_per_week_cap);
    replace(rules.runs_per_week_cap, restriction.runs_per_week_cap);
    return rules;
}

template <class T>
std::optional<T> lesser(const std::optional<T>& a, const std::optional<T>& b) {
    if (!a || !b) return a ? a : b;
    return std::min(*a, *b);
}

constexpr const char* kBeginOnTheFirst = "begin and end the restriction with whole months";

Result<AllowedDays> days_under_both(const AllowedDays& a, const AllowedDays& b, std::size_t m) {
    if (a == b || b.rule == DayRule::any) return a;
    if (a.rule == DayRule::any) return b;
    if (a.rule == DayRule::weekdays && b.rule == DayRule::weekdays) {
        AllowedDays both{DayRule::weekdays, {}};
        bool has_day = false;
        for (std::size_t d = 0; d < both.weekdays.size(); ++d) {
            both.weekdays[d] = a.weekdays[d] && b.weekdays[d];
            has_day = has_day || both.weekdays[d];
        }
        if (has_day) return both;
        return fail(ErrorCode::bad_input,
                    "local rules: " + month_name(m) +
                        " has two rules on allowed_days, and no weekday is allowed by both",
                    kBeginOnTheFirst);
    }
    return fail(ErrorCode::bad_input,
                "local rules: " + month_name(m) +
                    " has two rules on allowed_days that cannot be kept by one schedule",
                kBeginOnTheFirst);
}

Result<LocalRules> stricter(LocalRules a, const LocalRules& b, std::size_t m) {
    a.allowed_days = TRY(days_under_both(a.allowed_days, b.allowed_days, m));
    for (const BarredSpan& span : b.barred_hours) {
        if (std::find(a.barred_hours.begin(), a.barred_hours.end(), span) == a.barred_hours.end())
            a.barred_hours.push_back(span);
    }
    a.weekly_depth_cap_mm = lesser(a.weekly_depth_cap_mm, b.weekly_depth_cap_mm);
    a.minutes_per_day_cap = lesser(a.minutes_per_day_cap, b.minutes_per_day_cap);
    a.cycles_per_day_cap = lesser(a.cycles_per_day_cap, b.cycles_per_day_cap);
    a.days_per_week_cap = lesser(a.days_per_week_cap, b.days_per_week_cap);
    a.runs_per_week_cap = lesser(a.runs_per_week_cap, b.runs_per_week_cap);
    return a;
}

Result<void> check_no_overlap(const std::vector<Restriction>& restrictions) {
    for (std::size_t later = 1; later < restrictions.size(); ++later) {
        for (std::size_t earlier = 0; earlier < later; ++earlier) {
            const YearSpan& a = restrictions[earlier].dates;
            const YearSpan& b = restrictions[later].dates;
            if (!contains(a, b.first) && !contains(b, a.first)) continue;
            return fail(ErrorCode::bad_input,
                        "local rules: restrictions " + std::to_string(earlier + 1) + " and " +
                            std::to_string(later + 1) + " cover the same days",
                        "end one before the other begins");
        }
    }
    return {};
}

}  // namespace

Result<Monthly<LocalRules>> rules_by_month(const LocalRules& rules) {
    TRY(check_no_overlap(rules.restrictions));
    LocalRules of_year = rules;
    of_year.restrictions.clear();
    Monthly<LocalRules> by_month;
    for (std::size_t m = 0; m < kMonths; ++m) {
        int days_left = kWholeDaysInMonth[m];
        std::optional<LocalRules> of_month;
        const auto add = [&](const LocalRules& more) -> Result<void> {
            if (!of_month) {
                of_month = more;
                return {};
            }
            of_month = TRY(stricter(*of_month, more, m));
            return {};
        };
        for (const Restriction& restriction : rules.restrictions) {
            const int days = days_of_month_within(restriction.dates, static_cast<int>(m));
            if (days == 0) continue;
            days_left -= days;
            TRY(add(with_restriction(of_year, restriction)));
        }
        if (days_left > 0) TRY(add(of_year));
        by_month[m] = *of_month;
    }
    return by_month;
}

LocalRules rules_for_exempt(LocalRules rules) {
    rules.allowed_days = {};
    rules.weekly_depth_cap_mm.reset();
    rules.minutes_per_day_cap.reset();
    rules.cycles_per_day_cap.reset();
    rules.days_per_week_cap.reset();
    rules.runs_per_week_cap.reset();
    return rules;
}

bool is_exempt(const Zone& zone, const ExemptZones& exempt) {
    return zone.is_exempt || (exempt.drip && std::holds_alternative<Drip>(zone.application));
}

bool is_exempt_as_new(const Zone& zone, const ExemptZones& exempt) {
    return is_exempt(zone, exempt) || (exempt.new_plantings && zone.new_planting);
}

}  // namespace thirstline
