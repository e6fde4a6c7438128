#include "builder/evaluation/scored_variables.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

namespace {

Monthly<double> shares_of_peak(const Monthly<double>& eto) {
    Monthly<double> shares = kUnknownYear;
    if (std::any_of(eto.begin(), eto.end(), [](double v) { return std::isnan(v); })) return shares;
    const double peak = *std::max_element(eto.begin(), eto.end());
    if (peak <= 0.0) return shares;
    for (std::size_t month = 0; month < kMonths; ++month)
        shares[month] = kPercent * eto[month] / peak;
    return shares;
}

Monthly<double> in_month_only(const Monthly<double>& values, int month) {
    Monthly<double> only = kUnknownYear;
    if (month >= 0) only[static_cast<std::size_t>(month)] = values[static_cast<std::size_t>(month)];
    return only;
}

}  // namespace

std::string_view scored_variable_name(ScoredVariable variable) {
    constexpr std::array<std::string_view, kScoredVariables> kNames{
        "tmax",
        "tmin",
        "rain",
        "eto",
        "eto_own_temperature",
        "eto_temperature_only",
        "share_of_peak",
        "share_of_peak_temperature_only",
        "eto_in_peak_month",
        "eto_temperature_only_in_peak_month"};
    return kNames[static_cast<std::size_t>(variable)];
}

std::string_view scored_variable_unit(ScoredVariable variable) {
    switch (variable) {
        case ScoredVariable::tmax:
        case ScoredVariable::tmin:
            return "degC";
        case ScoredVariable::rain:
            return "mm/month";
        case ScoredVariable::share_of_peak:
        case ScoredVariable::share_of_peak_temperature_only:
            return "points";
        default:
            return "mm/day";
    }
}

bool has_standard_error(ScoredVariable variable) {
    return variable == ScoredVariable::rain || variable == ScoredVariable::eto ||
           variable == ScoredVariable::eto_in_peak_month;
}

std::string_view estimator_name(Estimator estimator) {
    constexpr std::array<std::string_view, kEstimators> kNames{"fused", "background", "nearest",
                                                               "inverse_distance", "hargreaves"};
    return kNames[static_cast<std::size_t>(estimator)];
}

ScoredYear unknown_scored_year() {
    ScoredYear year;
    year.fill(kUnknownYear);
    return year;
}

int peak_month(const Monthly<double>& values) {
    int peak = -1;
    for (int month = 0; month < kMonths; ++month) {
        const double value = values[static_cast<std::size_t>(month)];
        if (std::isnan(value)) continue;
        if (peak < 0 || value > values[static_cast<std::size_t>(peak)]) peak = month;
    }
    return peak;
}

void add_derived(ScoredYear& year, int eto_peak_month, int temperature_only_peak_month) {
    using enum ScoredVariable;
    of(year, share_of_peak) = shares_of_peak(of(year, eto));
    of(year, share_of_peak_temperature_only) = shares_of_peak(of(year, eto_temperature_only));
    of(year, eto_in_peak_month) = in_month_only(of(year, eto), eto_peak_month);
    of(year, eto_temperature_only_in_peak_month) =
        in_month_only(of(year, eto_temperature_only), temperature_only_peak_month);
}

}  // namespace thirstline
