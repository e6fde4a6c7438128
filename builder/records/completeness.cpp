#include "builder/records/completeness.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <string>

#include "schema/text/word_lists.hpp"

namespace thirstline {

CompletenessRules wmo_completeness() {
    return {};
}

CompletenessRules strict_completeness() {
    CompletenessRules rules;
    rules.max_missing_of_mean = 5;
    rules.max_in_a_row_of_mean = 3;
    return rules;
}

DaysMake days_make(Variable variable) {
    return is_total(variable) || variable == Variable::sunshine_hours ? DaysMake::sum
                                                                      : DaysMake::mean;
}

bool is_total(Variable variable) {
    return variable == Variable::rain || variable == Variable::rain_days;
}

int count_of_days(DaysPresent present) {
    return std::popcount(present);
}

int longest_gap_days(DaysPresent present, int days_of_month) {
    int longest = 0;
    int gap = 0;
    for (int day = 0; day < days_of_month; ++day) {
        gap = (present >> day & 1U) != 0 ? 0 : gap + 1;
        longest = std::max(longest, gap);
    }
    return longest;
}

std::string void_reason_text(VoidReason reason, const CompletenessRules& rules) {
    switch (reason) {
        case VoidReason::none:
            return "";
        case VoidReason::no_data:
            return "no data";
        case VoidReason::days_missing:
            return "more than " + counted(rules.max_missing_of_mean, "day") + " missing";
        case VoidReason::days_in_a_row_missing:
            return "more than " + counted(rules.max_in_a_row_of_mean, "day") + " in a row missing";
        case VoidReason::days_of_sum_missing:
            return rules.max_missing_of_sum == 0
                       ? "days of a sum missing"
                       : "more than " + counted(rules.max_missing_of_sum, "day") +
                             " of a sum missing";
        case VoidReason::given_twice:
            return "given twice";
        case VoidReason::far_from_other_years:
            return "far from the other years";
    }
    return "";
}

std::string_view void_reason_name(VoidReason reason) {
    constexpr std::array<std::string_view, kVoidReasons> kNames{"none",
                                                                "no_data",
                                                                "days_missing",
                                                                "days_in_a_row_missing",
                                                                "days_of_sum_missing",
                                                                "given_twice",
                                                                "far_from_other_years"};
    return kNames[static_cast<std::size_t>(reason)];
}

VoidReason void_reason_of(DaysMake make, DaysPresent present, int days_of_month,
                          const CompletenessRules& rules) {
    const int missing = days_of_month - count_of_days(present);
    if (missing == days_of_month) return VoidReason::no_data;
    if (make == DaysMake::sum)
        return missing > rules.max_missing_of_sum ? VoidReason::days_of_sum_missing
                                                  : VoidReason::none;
    if (missing > rules.max_missing_of_mean) return VoidReason::days_missing;
    if (longest_gap_days(present, days_of_month) > rules.max_in_a_row_of_mean)
        return VoidReason::days_in_a_row_missing;
    return VoidReason::none;
}

double month_value(Variable variable, double sum_of_days, DaysPresent present, int days_of_month) {
    const int days = count_of_days(present);
    if (!is_total(variable)) return sum_of_days / days;
    return days == days_of_month ? sum_of_days : sum_of_days / days * days_of_month;
}

}  // namespace thirstline
