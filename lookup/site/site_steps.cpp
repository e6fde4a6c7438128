#include "lookup/site/site_steps.hpp"

#include <string_view>

#include "lookup/site/mean_preserving_curve.hpp"

namespace thirstline {
namespace {

/// Empty unless all months are known.
std::optional<DailyCurve> curve_of(const Monthly<std::optional<double>>& daily_means) {
    Monthly<double> means{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (!daily_means[m]) return std::nullopt;
        means[m] = *daily_means[m];
    }
    return daily_curve(means, CurveRange::never_negative);
}

std::string two_digits(int number) {
    return {static_cast<char>('0' + number / 10), static_cast<char>('0' + number % 10)};
}

}  // namespace

std::optional<StepLength> step_length_named(std::string_view name) {
    if (name == "month") return StepLength::month;
    if (name == "week") return StepLength::week;
    if (name == "day") return StepLength::day;
    return std::nullopt;
}

std::vector<SiteStep> site_steps(const SiteProfile& profile, StepLength length) {
    if (length == StepLength::month) return {};
    Monthly<std::optional<double>> eto_mm_per_day;
    Monthly<std::optional<double>> rain_mm_per_day;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& month = profile.months[m];
        eto_mm_per_day[m] = month.eto_mm_per_day;
        if (month.rain_mm) rain_mm_per_day[m] = *month.rain_mm / kDaysInMonth[m];
    }
    const auto eto_curve = curve_of(eto_mm_per_day);
    const auto rain_curve = curve_of(rain_mm_per_day);

    std::vector<SiteStep> steps;
    for (const DaySpan span : length == StepLength::day ? days_of_year() : weeks_of_year()) {
        const MonthDay start = month_day_of(span.first_day);
        SiteStep step{start.month_index + 1, start.day, span.days, {}, {}};
        if (eto_curve) step.eto_mm = total_over(*eto_curve, span);
        if (rain_curve) step.rain_mm = total_over(*rain_curve, span);
        steps.push_back(step);
    }
    return steps;
}

std::string month_and_day_text(int month, int day) {
    return two_digits(month) + "-" + two_digits(day);
}

std::string start_text(const SiteStep& step) {
    return month_and_day_text(step.month, step.day);
}

}  // namespace thirstline
