#include "builder/records/normals_of_years.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMinYearsToJudge = 5;
constexpr double kMaxDeviations = 6.0;
constexpr double kMinDistanceC = 8.0;
bool is_temperature(Variable variable) {
    return variable == Variable::tmax || variable == Variable::tmin || variable == Variable::tmean;
}

}  // namespace

NormalsOfYears normals_of_years(std::span<const double> values, const CompletenessRules& rules) {
    NormalsOfYears normals;
    Monthly<double> sums{};
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) continue;
        sums[i % kMonths] += values[i];
        ++normals.years[i % kMonths];
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        const int years = normals.years[month];
        normals.values[month] = years > 0 && years >= rules.min_years
                                    ? sums[month] / years
                                    : std::numeric_limits<double>::quiet_NaN();
    }
    return normals;
}

std::vector<std::size_t> far_from_other_years(Variable variable, std::span<const double> values) {
    std::vector<std::size_t> far;
    if (!is_temperature(variable)) return far;
    for (std::size_t month = 0; month < kMonths; ++month) {
        std::vector<double> years;
        for (std::size_t i = month; i < values.size(); i += kMonths)
            if (!std::isnan(values[i])) years.push_back(values[i]);
        if (years.size() < kMinYearsToJudge) continue;
        const double middle = median(years);
        for (double& value : years) value = std::abs(value - middle);
        const double limit = std::max(kMinDistanceC, kMaxDeviations * kRobustScale * median(years));
        for (std::size_t i = month; i < values.size(); i += kMonths)
            if (std::abs(values[i] - middle) > limit) far.push_back(i);
    }
    std::sort(far.begin(), far.end());
    return far;
}

bool has_share_of_years(int years, int first_year, int last_year, const CompletenessRules& rules) {
    constexpr double kRounding = 1e-9;
    return years + kRounding >= rules.share_of_years * (last_year - first_year + 1);
}

}  // namespace thirstline
