#include "builder/records/year_slopes.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace thirstline {

namespace {

constexpr double kDryShare = 0.8;

/// By how much a normal deviate grows if mean and standard deviation are estimated from few years:
/// the quantile of Student's distribution (its expansion to the first order) with the error of the
/// mean, for a year that is not among them.
double growth_of_few_years(double deviate, int years) {
    const double student = 1.0 + (deviate * deviate + 1.0) / (4.0 * (years - 1));
    return student * std::sqrt(1.0 + 1.0 / years);
}

// Limits of the search for the deviates of the dry and the wet year, in standard deviations, and of
// the factor for the slopes. They are reached only where there is hardly any need in most years.
constexpr double kFarthestDeviate = 3.0;
constexpr double kMaxScaling = 2.0;
// Less is the rounding of the tables.
constexpr double kMinStandardDeviationMm = 1.0;

struct MonthOfYear {
    double eto_mm = 0.0;
    double rain_mm = 0.0;
    double need_mm = 0.0;
    bool is_known = false;
};

/// The months of a run of twelve, in the order of the calendar.
using Year = Monthly<MonthOfYear>;

std::vector<Year> years_of(std::span<const double> eto_mm, std::span<const double> rain_mm,
                           std::size_t first) {
    std::vector<Year> years;
    for (std::size_t start = first; start + kMonths <= eto_mm.size(); start += kMonths) {
        Year year;
        for (std::size_t i = start; i < start + kMonths; ++i) {
            if (std::isnan(eto_mm[i]) || std::isnan(rain_mm[i])) continue;
            year[i % kMonths] = {eto_mm[i], rain_mm[i], lawn_need_mm(eto_mm[i], rain_mm[i]), true};
        }
        years.push_back(year);
    }
    return years;
}

class Covariances {
  public:
    explicit Covariances(std::vector<Year> years) : years_(std::move(years)) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            for (const Year& year : years_) {
                const MonthOfYear& of = year[month];
                if (!of.is_known) continue;
                means_[month].eto_mm += of.eto_mm;
                means_[month].rain_mm += of.rain_mm;
                means_[month].need_mm += of.need_mm;
                ++count_[month];
            }
            means_[month].eto_mm /= count_[month];
            means_[month].rain_mm /= count_[month];
            means_[month].need_mm /= count_[month];
        }
    }

    [[nodiscard]] int fewest_years() const { return *std::ranges::min_element(count_); }
    [[nodiscard]] const Year& means() const { return means_; }

    /// Of a month's quantity with the year's need; NaN if two months share too few years.
    [[nodiscard]] double with_need(std::size_t month, double MonthOfYear::*quantity,
                                   int min_shared) const {
        double sum = 0.0;
        for (std::size_t other = 0; other < kMonths; ++other) {
            double products = 0.0;
            int shared = 0;
            for (const Year& year : years_) {
                if (!year[month].is_known || !year[other].is_known) continue;
                products += (year[month].*quantity - means_[month].*quantity) *
                            (year[other].need_mm - means_[other].need_mm);
                ++shared;
            }
            if (shared < std::max(min_shared, 2)) return std::nan("");
            sum += products / (shared - 1);
        }
        return sum;
    }

  private:
    std::vector<Year> years_;
    Year means_{};
    Monthly<int> count_{};
};

/// The need of the normals moved by `deviate` along unscaled slopes.
double moved_need_mm(const YearSlopes& slopes, const Monthly<double>& eto_mm,
                     const Monthly<double>& rain_mm, double deviate) {
    Monthly<double> eto{};
    Monthly<double> rain{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        const MonthFactors factors = month_factors(slopes, month, deviate);
        eto[month] = eto_mm[month] * factors.eto;
        rain[month] = rain_mm[month] * factors.rain;
    }
    return lawn_need_of_year_mm(eto, rain);
}

/// Where the moved need is `need_mm`, by bisection; the nearer limit if it is not within them.
template <class Need>
double deviate_of_need(double need_mm, const Need& moved) {
    double low = -kFarthestDeviate;
    double high = kFarthestDeviate;
    for (int step = 0; step < 50; ++step) {
        const double middle = (low + high) / 2.0;
        (moved(middle) < need_mm ? low : high) = middle;
    }
    return (low + high) / 2.0;
}

void scale_to_needs(YearsOfNeed& found, const Monthly<double>& eto_mm,
                    const Monthly<double>& rain_mm) {
    const double step = deviate_of_share(kDryShare);
    const double deviation_mm =
        found.standard_deviation_mm * step * growth_of_few_years(step, found.years);
    const auto deviate_at = [&](double sign) {
        return deviate_of_need(found.mean_need_mm + sign * deviation_mm, [&](double at) {
            return moved_need_mm(found.slopes, eto_mm, rain_mm, at);
        });
    };
    const double dry = deviate_at(1.0);
    const double wet = deviate_at(-1.0);
    const double scaling = std::clamp((dry - wet) / (2.0 * step), 1.0 / kMaxScaling, kMaxScaling);
    for (std::size_t month = 0; month < kMonths; ++month) {
        found.slopes.eto_share[month] *= scaling;
        found.slopes.rain_share[month] *= scaling;
    }
    found.slopes.deviate_of_normals = step - dry / scaling;
}

}  // namespace

std::optional<YearsOfNeed> years_of_need(std::span<const double> eto_mm,
                                         std::span<const double> rain_mm, bool is_south,
                                         int min_years) {
    const Covariances years(years_of(eto_mm, rain_mm, is_south ? kMonths / 2 : 0));
    YearsOfNeed found;
    found.years = years.fewest_years();
    if (found.years < std::max(min_years, 2)) return std::nullopt;
    double variance = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        found.mean_need_mm += years.means()[month].need_mm;
        variance += years.with_need(month, &MonthOfYear::need_mm, found.years / 2);
    }
    found.standard_deviation_mm = std::sqrt(variance);
    if (!(found.standard_deviation_mm >= kMinStandardDeviationMm)) return std::nullopt;
    Monthly<double> eto{};
    Monthly<double> rain{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        eto[month] = years.means()[month].eto_mm;
        rain[month] = years.means()[month].rain_mm;
        const auto share = [&](double MonthOfYear::*quantity, double mean) {
            const double covariance = years.with_need(month, quantity, found.years / 2);
            return mean > 0.0 ? covariance / found.standard_deviation_mm / mean : 0.0;
        };
        found.slopes.eto_share[month] = share(&MonthOfYear::eto_mm, eto[month]);
        found.slopes.rain_share[month] = share(&MonthOfYear::rain_mm, rain[month]);
    }
    found.need_of_normals_mm = lawn_need_of_year_mm(eto, rain);
    scale_to_needs(found, eto, rain);
    return found;
}

}  // namespace thirstline
