#include "lookup/site/mean_preserving_curve.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {
namespace {

/// Solves the tridiagonal system by elimination without pivoting (it is diagonally dominant).
/// `below[0]` and `above[11]` are not used.
Monthly<double> solve_tridiagonal(const Monthly<double>& below, Monthly<double> diagonal,
                                  const Monthly<double>& above, Monthly<double> right) {
    for (int i = 1; i < kMonths; ++i) {
        const double factor = below[i] / diagonal[i - 1];
        diagonal[i] -= factor * above[i - 1];
        right[i] -= factor * right[i - 1];
    }
    right[kMonths - 1] /= diagonal[kMonths - 1];
    for (int i = kMonths - 2; i >= 0; --i)
        right[i] = (right[i] - above[i] * right[i + 1]) / diagonal[i];
    return right;
}

/// The same with the corners below[0] (last column, first row) and above[11] (first column, last
/// row) filled, by the Sherman–Morrison formula.
Monthly<double> solve_cyclic_tridiagonal(const Monthly<double>& below, Monthly<double> diagonal,
                                         const Monthly<double>& above,
                                         const Monthly<double>& right) {
    const double top_right = below[0];
    const double bottom_left = above[kMonths - 1];
    const double gamma = -diagonal[0];
    diagonal[0] -= gamma;
    diagonal[kMonths - 1] -= bottom_left * top_right / gamma;
    Monthly<double> corner{};
    corner[0] = gamma;
    corner[kMonths - 1] = bottom_left;
    Monthly<double> x = solve_tridiagonal(below, diagonal, above, right);
    const Monthly<double> z = solve_tridiagonal(below, diagonal, above, corner);
    const double ratio = top_right / gamma;
    const double share = (x[0] + ratio * x[kMonths - 1]) / (1.0 + z[0] + ratio * z[kMonths - 1]);
    for (int i = 0; i < kMonths; ++i) x[i] -= share * z[i];
    return x;
}

double days_in(int month) {
    return kWholeDaysInMonth[static_cast<std::size_t>(month)];
}

/// Rates at the start of each month that give the running total a continuous curvature.
Monthly<double> spline_rates(const Monthly<double>& means) {
    Monthly<double> below{};
    Monthly<double> diagonal{};
    Monthly<double> above{};
    Monthly<double> right{};
    for (int i = 0; i < kMonths; ++i) {
        const int before = previous_month(i);
        below[i] = 1.0 / days_in(before);
        above[i] = 1.0 / days_in(i);
        diagonal[i] = 2.0 * (below[i] + above[i]);
        right[i] = 3.0 * (means[before] * below[i] + means[i] * above[i]);
    }
    return solve_cyclic_tridiagonal(below, diagonal, above, right);
}

/// Reduces the rates towards zero until the total rises throughout every month. Each month's factor
/// is computed from the original rates, so that no month is favoured by its place in the calendar.
Monthly<double> rates_of_rising_total(const Monthly<double>& means, Monthly<double> rates) {
    for (double& rate : rates) rate = std::max(rate, 0.0);
    Monthly<double> factor{};
    for (int i = 0; i < kMonths; ++i) {
        const double norm = std::hypot(rates[i], rates[next_month(i)]);
        const double limit = 3.0 * std::max(means[i], 0.0);
        factor[i] = norm > limit ? limit / norm : 1.0;
    }
    for (int i = 0; i < kMonths; ++i) rates[i] *= std::min(factor[previous_month(i)], factor[i]);
    return rates;
}

/// Rise of the total from the month's start to its fraction `s`: cubic Hermite, per day of the
/// month, with the mean rate `mean` and the rates at its start and end.
double rise(double s, double mean, double start, double end) {
    return s * (start + s * (3.0 * mean - 2.0 * start - end + s * (start + end - 2.0 * mean)));
}

}  // namespace

DailyCurve daily_curve(const Monthly<double>& monthly_means, CurveRange range) {
    Monthly<double> rates = spline_rates(monthly_means);
    if (range == CurveRange::never_negative) rates = rates_of_rising_total(monthly_means, rates);

    DailyCurve curve{};
    std::size_t day = 0;
    for (int month = 0; month < kMonths; ++month) {
        const double days = days_in(month);
        const double start = rates[month];
        const double end = rates[next_month(month)];
        double before = 0.0;
        for (int i = 1; i <= kWholeDaysInMonth[month]; ++i) {
            const double after = rise(i / days, monthly_means[month], start, end);
            const double value = (after - before) * days;
            curve[day++] = range == CurveRange::never_negative ? std::max(value, 0.0) : value;
            before = after;
        }
    }
    return curve;
}

std::vector<DaySpan> days_of_year() {
    std::vector<DaySpan> spans;
    for (int day = 0; day < kDaysOfYear; ++day) spans.push_back({day, 1});
    return spans;
}

std::vector<DaySpan> weeks_of_year() {
    std::vector<DaySpan> spans;
    for (int week = 0; week < kWeeksOfYear; ++week) spans.push_back({7 * week, 7});
    spans.back().days = kDaysOfYear - spans.back().first_day;
    return spans;
}

double total_over(const DailyCurve& curve, DaySpan span) {
    double total = 0.0;
    for (int day = 0; day < span.days; ++day)
        total += curve[static_cast<std::size_t>(span.first_day + day)];
    return total;
}

MonthDay month_day_of(int day_of_year) {
    int month = 0;
    while (day_of_year >= kWholeDaysInMonth[static_cast<std::size_t>(month)]) {
        day_of_year -= kWholeDaysInMonth[static_cast<std::size_t>(month)];
        ++month;
    }
    return {month, day_of_year + 1};
}

}  // namespace thirstline
