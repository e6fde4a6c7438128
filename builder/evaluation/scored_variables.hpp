// The scored variables, and the estimators that are compared.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "builder/reference_et/monthly_reference_et.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

inline constexpr double kPercent = 100.0;

enum class ScoredVariable {
    tmax,  ///< °C
    tmin,
    rain,                  ///< mm in the month
    eto,                   ///< full Penman–Monteith, mm/day, all drivers estimated
    eto_own_temperature,   ///< the same from the station's own temperatures, the other drivers
                           ///< estimated
    eto_temperature_only,  ///< Hargreaves–Samani from estimated temperatures, mm/day
    share_of_peak,         ///< of eto, in percentage points: a month in percent of the greatest
                           ///< month
    share_of_peak_temperature_only,
    // One month per station: the one in which the background's own estimate is greatest, which
    // depends neither on the truth nor on the estimate that is scored.
    eto_in_peak_month,
    eto_temperature_only_in_peak_month,
};
inline constexpr std::size_t kScoredVariables = 10;
[[nodiscard]] std::string_view scored_variable_name(ScoredVariable variable);
[[nodiscard]] std::string_view scored_variable_unit(ScoredVariable variable);
/// Whether a file contains a standard error for it.
[[nodiscard]] bool has_standard_error(ScoredVariable variable);

enum class Estimator {
    fused,             ///< the answer of a look-up
    background,        ///< the same from a build without stations
    nearest,           ///< the nearest station's value as it is
    inverse_distance,  ///< mean of the twelve nearest, weighted by the inverse square of distance
    hargreaves,        ///< of eto_own_temperature: Hargreaves–Samani from the same temperatures
};
inline constexpr std::size_t kEstimators = 5;
[[nodiscard]] std::string_view estimator_name(Estimator estimator);

template <class T>
using ByVariable = std::array<T, kScoredVariables>;

/// By ScoredVariable and month; NaN where unknown.
using ScoredYear = ByVariable<Monthly<double>>;

template <class Values>
[[nodiscard]] auto& of(Values& values, ScoredVariable variable) {
    return values[static_cast<std::size_t>(variable)];
}

/// All unknown.
[[nodiscard]] ScoredYear unknown_scored_year();

/// Index of the greatest month; −1 if none is known.
[[nodiscard]] int peak_month(const Monthly<double>& values);

/// Sets the shares of peak and the values in the peak months from eto and eto_temperature_only. The
/// peak months are the background's; with −1 theirs are unknown.
void add_derived(ScoredYear& year, int eto_peak_month, int temperature_only_peak_month);

}  // namespace thirstline
