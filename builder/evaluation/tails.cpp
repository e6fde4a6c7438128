#include "builder/evaluation/tails.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "builder/inputs/statistics.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

constexpr std::array<ScoredVariable, 5> kAnswered{ScoredVariable::tmax, ScoredVariable::tmin,
                                                  ScoredVariable::rain, ScoredVariable::eto,
                                                  ScoredVariable::eto_temperature_only};
constexpr double kMinRainMm = 10.0;
constexpr double kMinEto = 0.5;
constexpr double kSameAreaKm = 100.0;
constexpr double kSameHeightM = 500.0;
constexpr double kMaxRainFactor = 4.0;

bool is_relative(ScoredVariable variable) {
    return variable != ScoredVariable::tmax && variable != ScoredVariable::tmin;
}

double least_judged(ScoredVariable variable) {
    if (!is_relative(variable)) return -1e9;
    return variable == ScoredVariable::rain ? kMinRainMm : kMinEto;
}

const Monthly<double>& of_estimator(const ScoredStation& station, Estimator estimator,
                                    ScoredVariable variable) {
    return of(station.estimates[static_cast<std::size_t>(estimator)], variable);
}

/// A year's sum of rain, or its mean; NaN where a month is unknown.
double of_year(const Monthly<double>& months, ScoredVariable variable) {
    double sum = 0.0;
    for (const double month : months) sum += month;
    return variable == ScoredVariable::rain ? sum : sum / kMonths;
}

struct Errors {
    std::vector<double> size;
    std::int64_t off_by_two = 0;

    void add(ScoredVariable variable, double observed, double estimate) {
        const double error = std::abs(estimate - observed);
        if (std::isnan(error) || observed < least_judged(variable)) return;
        size.push_back(is_relative(variable) ? error / observed : error);
        if (estimate > 2.0 * observed || estimate < observed / 2.0) ++off_by_two;
    }
    [[nodiscard]] double share_off_by_two(ScoredVariable variable) const {
        return size.empty() || !is_relative(variable)
                   ? kUnknown
                   : static_cast<double>(off_by_two) / static_cast<double>(size.size());
    }
};

std::optional<WorstSite> site_of(const ScoredStation& station, ScoredVariable variable) {
    const Monthly<double>& observed = of(station.observed, variable);
    const Monthly<double>& fused = of_estimator(station, Estimator::fused, variable);
    WorstSite site{station.name,
                   station.country,
                   station.position,
                   station.elevation_m,
                   station.rise_m,
                   of_year(observed, variable),
                   of_year(fused, variable),
                   of_year(of_estimator(station, Estimator::background, variable), variable),
                   of_year(of_estimator(station, Estimator::nearest, variable), variable),
                   of(station.nearest_km, variable),
                   of_year(of_estimator(station, Estimator::inverse_distance, variable), variable),
                   0.0};
    for (std::size_t month = 0; month < kMonths; ++month)
        site.error += std::abs(fused[month] - observed[month]);
    if (std::isnan(site.error)) return std::nullopt;
    const double least = variable == ScoredVariable::rain ? kMonths * kMinRainMm : kMinEto;
    if (is_relative(variable) && site.observed < least) return std::nullopt;
    site.error /= variable == ScoredVariable::rain ? site.observed
                  : is_relative(variable)          ? site.observed * kMonths
                                                   : kMonths;
    return site;
}

}  // namespace

std::vector<TailScore> tail_scores_of(const std::vector<ScoredStation>& stations) {
    std::vector<TailScore> tails;
    for (const ScoredVariable variable : kAnswered) {
        Errors all;
        std::array<Errors, kRiseClasses> by_rise;
        TailScore tail;
        tail.variable = variable;
        for (const ScoredStation& station : stations) {
            const Monthly<double>& observed = of(station.observed, variable);
            const Monthly<double>& fused = of_estimator(station, Estimator::fused, variable);
            for (std::size_t month = 0; month < kMonths; ++month) {
                all.add(variable, observed[month], fused[month]);
                if (std::isnan(station.rise_m)) continue;
                by_rise[static_cast<std::size_t>(rise_class_of(station.rise_m))].add(
                    variable, observed[month], fused[month]);
            }
            if (auto site = site_of(station, variable)) tail.worst.push_back(std::move(*site));
        }
        if (all.size.empty()) continue;
        tail.n = static_cast<std::int64_t>(all.size.size());
        tail.error_95 = quantile(all.size, 0.95);
        tail.error_99 = quantile(all.size, 0.99);
        tail.share_off_by_two = all.share_off_by_two(variable);
        for (std::size_t r = 0; r < kRiseClasses; ++r) {
            const Errors& errors = by_rise[r];
            if (errors.size.empty()) continue;
            tail.by_rise[r] = {static_cast<std::int64_t>(errors.size.size()),
                               quantile(errors.size, 0.95), errors.share_off_by_two(variable)};
        }
        std::stable_sort(tail.worst.begin(), tail.worst.end(),
                         [](const WorstSite& a, const WorstSite& b) { return a.error > b.error; });
        if (tail.worst.size() > kWorstSites) tail.worst.resize(kWorstSites);
        tails.push_back(std::move(tail));
    }
    return tails;
}

AdjustedRain adjusted_rain_of(const std::vector<ScoredStation>& stations) {
    struct Place {
        Vector3 km;
        double rain_mm;
    };
    std::vector<Place> places;
    for (const ScoredStation& station : stations)
        places.push_back(
            {point_on_sphere(station.position, kEarthRadiusKm),
             of_year(of(station.observed, ScoredVariable::rain), ScoredVariable::rain)});
    AdjustedRain result;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const double adjusted =
            of_year(of_estimator(stations[i], Estimator::fused, ScoredVariable::rain),
                    ScoredVariable::rain);
        if (std::isnan(adjusted) || std::isnan(stations[i].rise_m)) continue;
        double sum = 0.0;
        int count = 0;
        for (std::size_t j = 0; j < stations.size(); ++j) {
            if (j == i || std::isnan(places[j].rain_mm) ||
                std::abs(stations[j].elevation_m - stations[i].elevation_m) > kSameHeightM ||
                chord_length(places[i].km, places[j].km) > kSameAreaKm)
                continue;
            sum += places[j].rain_mm;
            ++count;
        }
        if (count == 0) continue;
        ++result.judged;
        const double mean = sum / count;
        if (adjusted * kMaxRainFactor < mean || adjusted > kMaxRainFactor * mean)
            result.beyond.push_back(i);
    }
    return result;
}

}  // namespace thirstline
