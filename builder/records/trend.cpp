#include "builder/records/trend.hpp"

#include <cmath>
#include <vector>

#include "builder/records/normals_of_years.hpp"

namespace thirstline {

namespace {

constexpr int kMaxUnknownMonths = 2;
constexpr int kMinYearsOfTrend = 20;
constexpr int kMinRecentYears = 10;
constexpr double kYearsOfDecade = 10.0;

struct YearAndTotal {
    double year = 0.0;
    double total = 0.0;
};

/// Of the years with enough months.
std::vector<YearAndTotal> yearly_totals(std::span<const double> values) {
    CompletenessRules any;
    any.min_years = 1;
    const NormalsOfYears normals = normals_of_years(values, any);
    std::vector<YearAndTotal> totals;
    for (std::size_t year = 0; (year + 1) * kMonths <= values.size(); ++year) {
        double total = 0.0;
        int unknown = 0;
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double value = values[year * kMonths + month];
            unknown += static_cast<int>(std::isnan(value));
            total += std::isnan(value) ? normals.values[month] : value;
        }
        if (unknown <= kMaxUnknownMonths && !std::isnan(total))
            totals.push_back({static_cast<double>(year), total});
    }
    return totals;
}

}  // namespace

std::optional<YearlyTrend> yearly_trend(std::span<const double> values) {
    const std::vector<YearAndTotal> totals = yearly_totals(values);
    const auto count = static_cast<double>(totals.size());
    if (count < kMinYearsOfTrend) return std::nullopt;
    double mean_year = 0.0;
    double mean = 0.0;
    for (const YearAndTotal& of : totals) {
        mean_year += of.year / count;
        mean += of.total / count;
    }
    double squares = 0.0;
    double products = 0.0;
    double recent = 0.0;
    int recent_years = 0;
    const std::size_t years = values.size() / kMonths;
    const double first_recent = static_cast<double>(years) - kRecentYears;
    for (const YearAndTotal& of : totals) {
        squares += (of.year - mean_year) * (of.year - mean_year);
        products += (of.year - mean_year) * (of.total - mean);
        if (of.year < first_recent) continue;
        recent += of.total;
        ++recent_years;
    }
    if (recent_years < kMinRecentYears) return std::nullopt;
    const double slope = products / squares;
    double scatter = 0.0;
    for (const YearAndTotal& of : totals) {
        const double rest = of.total - mean - slope * (of.year - mean_year);
        scatter += rest * rest;
    }
    YearlyTrend trend;
    trend.per_decade = kYearsOfDecade * slope;
    trend.standard_error = kYearsOfDecade * std::sqrt(scatter / (count - 2.0) / squares);
    trend.recent = recent / recent_years - mean;
    trend.years = static_cast<int>(totals.size());
    return trend;
}

}  // namespace thirstline
