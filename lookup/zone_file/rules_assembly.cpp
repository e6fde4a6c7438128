#include "lookup/zone_file/rules_assembly.hpp"

#include <optional>
#include <string>
#include <utility>

#include "lookup/zone_file/assembly_messages.hpp"

namespace thirstline {
namespace {

using enum Quantity;

/// Odd or even dates, or weekdays by the number's last digit; nothing if no rule uses the number.
Result<std::optional<AllowedDays>> days_by_address(const ZoneValues& values,
                                                   const std::optional<int>& number) {
    const ZoneValue* by_digit = values.find(address_days);
    const ZoneValue* allowed = values.find(allowed_days);
    const bool is_by_parity =
        allowed != nullptr && std::holds_alternative<ByAddress>(allowed->value);
    if (by_digit != nullptr && allowed != nullptr) {
        return fail_at(by_digit->place, subject(*by_digit->key, by_digit->place) + " excludes " +
                                            mention(*allowed->key, allowed->place) +
                                            "; keep one of them");
    }
    if (by_digit == nullptr && !is_by_parity) return std::nullopt;
    const ZoneValue& rule = by_digit != nullptr ? *by_digit : *allowed;
    if (!number) {
        return fail_at(rule.place, subject(*rule.key, rule.place) + " needs " +
                                       asked_for(house_number, rule.place) +
                                       (rule.place.file.empty() ? "" : " in [site]"));
    }
    const bool is_odd = *number % 2 == 1;
    if (is_by_parity)
        return std::optional(AllowedDays{is_odd ? DayRule::odd_dates : DayRule::even_dates, {}});
    const auto digit = static_cast<std::size_t>(*number % 10);
    for (const AddressDays& days : std::get<std::vector<AddressDays>>(by_digit->value)) {
        if (days.last_digits[digit])
            return std::optional(AllowedDays{DayRule::weekdays, days.weekdays});
    }
    return fail_at(rule.place, subject(*rule.key, rule.place) + " has no days for house number " +
                                   std::to_string(*number));
}

Result<std::optional<AllowedDays>> days_of(const ZoneValues& values,
                                           const std::optional<int>& number) {
    const auto by_address = TRY(days_by_address(values, number));
    if (by_address) return by_address;
    return values.get<AllowedDays>(allowed_days);
}

Result<void> check_window_start(const ZoneValues& values) {
    const ZoneValue* start = values.find(window_start);
    if (start == nullptr || values.has(window_hours)) return {};
    return fail_at(start->place, subject(*start->key, start->place) + " needs " +
                                     asked_for(window_hours, start->place));
}

Result<LocalRules> rules_of(const ZoneValues& values) {
    TRY(check_window_start(values));
    LocalRules rules;
    const auto days = TRY(days_of(values, values.whole_number(house_number)));
    rules.allowed_days = days.value_or(AllowedDays{});
    rules.window_hours = values.number(window_hours);
    rules.window_start = values.get<ClockTime>(window_start);
    rules.barred_hours =
        values.get<std::vector<BarredSpan>>(barred_hours).value_or(std::vector<BarredSpan>{});
    rules.flow_l_per_min = values.number(site_flow);
    rules.yearly_allowance_l = values.number(yearly_allowance);
    rules.monthly_allowance_l = values.number(monthly_allowance);
    rules.weekly_depth_cap_mm = values.number(weekly_depth_cap);
    rules.minutes_per_day_cap = values.number(minutes_per_day_cap);
    rules.cycles_per_day_cap = values.whole_number(cycles_per_day_cap);
    rules.days_per_week_cap = values.whole_number(days_per_week_cap);
    rules.runs_per_week_cap = values.whole_number(runs_per_week_cap);
    rules.exempt = values.get<ExemptZones>(exempt_kinds).value_or(ExemptZones{});
    return rules;
}

Result<Restriction> restriction_of(const ZoneValues& values, const std::optional<int>& number) {
    TRY(check_single_units(values));
    for (const Quantity quantity : {restriction_from, restriction_to}) {
        if (values.has(quantity)) continue;
        return fail_at(values.place, table_start(values.place, KeyTable::restriction) +
                                         "lacks the key " + asked_for(quantity, values.place));
    }
    Restriction restriction;
    restriction.dates = {*values.get<YearDay>(restriction_from),
                         *values.get<YearDay>(restriction_to)};
    restriction.allowed_days = TRY(days_of(values, number));
    restriction.barred_hours = values.get<std::vector<BarredSpan>>(barred_hours);
    restriction.weekly_depth_cap_mm = values.number(weekly_depth_cap);
    restriction.minutes_per_day_cap = values.number(minutes_per_day_cap);
    restriction.cycles_per_day_cap = values.whole_number(cycles_per_day_cap);
    restriction.days_per_week_cap = values.whole_number(days_per_week_cap);
    restriction.runs_per_week_cap = values.whole_number(runs_per_week_cap);
    constexpr std::size_t kDates = 2;
    if (values.values.size() <= kDates) {
        return fail_at(values.place,
                       table_start(values.place, KeyTable::restriction) + "names no rule",
                       "add a rule, such as allowed_days = [\"Sat\"], or remove the restriction");
    }
    return restriction;
}

}  // namespace

Result<LocalRules> local_rules(const ZoneValues& site,
                               const std::vector<ZoneValues>& restrictions) {
    LocalRules rules = TRY(rules_of(site));
    for (const ZoneValues& values : restrictions) {
        auto restriction = TRY(restriction_of(values, site.whole_number(house_number)));
        rules.restrictions.push_back(std::move(restriction));
    }
    return rules;
}

}  // namespace thirstline
