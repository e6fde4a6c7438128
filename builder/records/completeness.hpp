// Which months of a record are complete enough for a normal. WMO-No. 1203 (2017), WMO Guidelines on
// the Calculation of Climate Normals; its limits are given second hand, as independent
// implementations quote them.
//
//   a monthly mean is not calculated if 11 or more days are missing, or 5 or more in a row
//   a monthly sum needs every day, or a reading that covers the days before it
//   a normal needs 80 % of the years, each calendar month by itself: 24 of 30
//
// "strict" is the older rule of many services: no mean with more than 5 days missing, or more than
// 3 in a row. A period average needs ten years or more (second hand).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "builder/grids/variables_and_units.hpp"

namespace thirstline {

struct CompletenessRules {
    int max_missing_of_mean = 10;  ///< days of a month
    int max_in_a_row_of_mean = 4;  ///< consecutive missing days
    int max_missing_of_sum = 0;    ///< days; a sum with some missing is scaled to the whole month
    double share_of_years = 0.8;   ///< of the period, for a standard normal
    int min_years = 10;            ///< for any normal
};

[[nodiscard]] CompletenessRules wmo_completeness();
[[nodiscard]] CompletenessRules strict_completeness();

/// How days become the value of a month.
enum class DaysMake : std::uint8_t { mean, sum };

/// Rain and sunshine are sums, everything else a mean: reference ET too, which is calculated from
/// the weather and varies little from day to day.
[[nodiscard]] DaysMake days_make(Variable variable);

/// Whether the value of a month is the total of its days, and not their mean: rain.
[[nodiscard]] bool is_total(Variable variable);

/// Days of a month that have a value: bit 0 is the first.
using DaysPresent = std::uint32_t;

[[nodiscard]] int count_of_days(DaysPresent present);
/// The most consecutive days of the month without a value.
[[nodiscard]] int longest_gap_days(DaysPresent present, int days_of_month);

/// Why a month of a single year is not used.
enum class VoidReason : std::uint8_t {
    none,
    no_data,                ///< within the station's record
    days_missing,           ///< too many for a mean
    days_in_a_row_missing,  ///< likewise
    days_of_sum_missing,
    given_twice,           ///< days or the month, in different places or with different values
    far_from_other_years,  ///< of the same calendar month
};
inline constexpr int kVoidReasons = 7;

/// "5 or more days in a row missing" and so on, with the limits of the rules.
[[nodiscard]] std::string void_reason_text(VoidReason reason, const CompletenessRules& rules);
/// A short name for programs: "days_missing".
[[nodiscard]] std::string_view void_reason_name(VoidReason reason);

[[nodiscard]] VoidReason void_reason_of(DaysMake make, DaysPresent present, int days_of_month,
                                        const CompletenessRules& rules);

/// The value of a month, in the unit of computation, from the sum of its days' values: the total of
/// rain, scaled to the whole month if days are missing; the mean of everything else. At least one
/// day must be present.
[[nodiscard]] double month_value(Variable variable, double sum_of_days, DaysPresent present,
                                 int days_of_month);

}  // namespace thirstline
