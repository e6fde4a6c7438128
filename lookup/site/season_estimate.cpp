#include "lookup/site/season_estimate.hpp"

#include <algorithm>
#include <cmath>

#include "schema/lawn/year_of_need.hpp"

namespace thirstline {
namespace {

// Scatter of single nights: see the header.
constexpr double kScatterWarmestC = 3.4;
constexpr double kScatterRiseC = 1.1;
constexpr double kIndependentNights = 0.68;
constexpr double kFullScatterRangeC = 20.0;

constexpr double kEstimateErrorDays = 5.0;
/// Of the file's normals at a place, as between stations: Thirstline's assumption.
constexpr double kNormalErrorC = 1.0;
/// The error of a date where the curve is flat: a season.
constexpr double kMaxErrorDays = 91.0;

constexpr int kMidsummerDays = 15;
constexpr double kMedian = 0.5;
constexpr double kOneInTen = 0.1;

std::size_t in_year(int day) {
    return static_cast<std::size_t>((day % kDaysOfYear + kDaysOfYear) % kDaysOfYear);
}

int warmest_day(const DailyCurve& curve) {
    return static_cast<int>(std::max_element(curve.begin(), curve.end()) - curve.begin());
}

MonthDay date_of_day(int day) {
    return month_day_of(static_cast<int>(in_year(day)));
}

/// Independent freezing nights that are expected on each day.
DailyCurve expected_freezes(const DailyCurve& minima_c, double at_or_below_c) {
    const auto [coldest, warmest] = std::minmax_element(minima_c.begin(), minima_c.end());
    const double range_c = *warmest - *coldest;
    const double fullness = std::min(1.0, range_c / kFullScatterRangeC);
    const double warmest_scatter_c = kScatterWarmestC * (1.0 + fullness) / 2.0;
    DailyCurve expected{};
    for (std::size_t day = 0; day < expected.size(); ++day) {
        const double coldness = range_c > 0.0 ? (*warmest - minima_c[day]) / range_c : 0.0;
        const double scatter_c = warmest_scatter_c + kScatterRiseC * fullness * coldness;
        expected[day] =
            kIndependentNights * share_of_deviate((at_or_below_c - minima_c[day]) / scatter_c);
    }
    return expected;
}

/// Of at least one freeze.
double probability(double expected) {
    return 1.0 - std::exp(-expected);
}

/// The day nearest to the warmest, from it in steps of `step`, by which a freeze has the
/// probability; within half a year.
std::optional<int> day_reached(const DailyCurve& expected, int warmest, int step,
                               double wanted_probability) {
    double sum = 0.0;
    for (int i = 1; i <= kDaysOfYear / 2; ++i) {
        const int day = warmest + step * i;
        sum += expected[in_year(day)];
        if (probability(sum) >= wanted_probability) return day;
    }
    return std::nullopt;
}

/// Days by which kNormalErrorC moves the day on which the curve has its value of `day`.
double days_of_normal_error(const DailyCurve& curve, int day) {
    constexpr int kReach = 7;
    const double slope =
        std::fabs(curve[in_year(day + kReach)] - curve[in_year(day - kReach)]) / (2.0 * kReach);
    return kNormalErrorC < kMaxErrorDays * slope ? kNormalErrorC / slope : kMaxErrorDays;
}

}  // namespace

FreezeDates freeze_dates(const Monthly<double>& tmin_c, double at_or_below_c) {
    const DailyCurve minima_c = daily_curve(tmin_c, CurveRange::any);
    const DailyCurve expected = expected_freezes(minima_c, at_or_below_c);
    const int warmest = warmest_day(minima_c);

    FreezeDates out;
    out.at_or_below_c = at_or_below_c;
    double all_year = 0.0;
    for (const double nights : expected) all_year += nights;
    out.percent_of_years = 100.0 * probability(all_year);
    double midsummer = 0.0;
    for (int i = -kMidsummerDays; i <= kMidsummerDays; ++i)
        midsummer += expected[in_year(warmest + i)];
    out.in_midsummer = probability(midsummer) >= kMedian;

    const auto find = [&](int step, double wanted_probability, std::optional<MonthDay>& date) {
        if (probability(midsummer) >= wanted_probability) return;
        const auto day = day_reached(expected, warmest, step, wanted_probability);
        if (!day) return;
        date = date_of_day(*day);
        const double error_days = std::min(
            kMaxErrorDays, std::hypot(kEstimateErrorDays, days_of_normal_error(minima_c, *day)));
        out.error_days = std::max(out.error_days.value_or(0.0), error_days);
    };
    find(-1, kMedian, out.last_median);
    find(-1, kOneInTen, out.last_late);
    find(+1, kMedian, out.first_median);
    find(+1, kOneInTen, out.first_early);
    return out;
}

GrowingSeason growing_season(const Monthly<double>& tmean_c) {
    const DailyCurve means_c = daily_curve(tmean_c, CurveRange::any);
    const int warmest = warmest_day(means_c);
    const auto grows = [&](int day) { return means_c[in_year(day)] >= kGrowthAboveC; };
    GrowingSeason out;
    if (!grows(warmest)) return out;
    int start = warmest;
    int end = warmest;
    while (end - start + 1 < kDaysOfYear && grows(start - 1)) --start;
    while (end - start + 1 < kDaysOfYear && grows(end + 1)) ++end;
    out.days = end - start + 1;
    if (out.days == kDaysOfYear) return out;
    out.start = date_of_day(start);
    out.end = date_of_day(end);
    out.error_days =
        std::max(days_of_normal_error(means_c, start), days_of_normal_error(means_c, end));
    return out;
}

std::optional<SeasonEstimate> season_estimate(const SiteProfile& profile) {
    Monthly<double> tmin_c{};
    Monthly<double> tmean_c{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& month = profile.months[m];
        if (!month.tmin_c || !month.tmax_c) return std::nullopt;
        tmin_c[m] = *month.tmin_c;
        tmean_c[m] = (*month.tmin_c + *month.tmax_c) / 2.0;
    }
    SeasonEstimate out;
    for (std::size_t i = 0; i < kFreezesC.size(); ++i)
        out.freezes[i] = freeze_dates(tmin_c, kFreezesC[i]);
    out.growing = growing_season(tmean_c);
    return out;
}

}  // namespace thirstline
