#include "builder/evaluation/scores.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr double kPenaltyOfMissing = 2.0 / 0.1;
constexpr std::size_t kMonthsAndYear = kMonths + 1;

struct Interval {
    double low, high;
};

Interval interval_of(ScoredVariable variable, double value, double half_width) {
    const bool is_never_negative = has_standard_error(variable);
    const double low = value - half_width;
    return {is_never_negative ? std::max(0.0, low) : low, value + half_width};
}

double interval_score(const Interval& interval, double observed) {
    return interval.high - interval.low +
           kPenaltyOfMissing *
               (std::max(0.0, interval.low - observed) + std::max(0.0, observed - interval.high));
}

bool holds(const Interval& interval, double observed) {
    return observed >= interval.low && observed <= interval.high;
}

struct Sums {
    std::int64_t n = 0;
    std::int64_t misses = 0;
    std::int64_t intervals = 0;
    double absolute_error = 0.0;
    double error = 0.0;
    double observed = 0.0;
    double within_50 = 0.0;
    double within_90 = 0.0;
    double interval_score = 0.0;
    double width = 0.0;
};

/// One value of one estimator, compared with the truth.
struct Judged {
    ScoredVariable variable = ScoredVariable::tmax;
    double observed = 0.0;
    double estimate = 0.0;
    double standard_error = 0.0;  ///< NaN: no interval
};

void add(Sums& sums, const Judged& judged) {
    if (std::isnan(judged.estimate)) {
        ++sums.misses;
        return;
    }
    const double error = judged.estimate - judged.observed;
    ++sums.n;
    sums.absolute_error += std::abs(error);
    sums.error += error;
    sums.observed += judged.observed;
    if (std::isnan(judged.standard_error)) return;
    const Interval ninety =
        interval_of(judged.variable, judged.estimate, kNinetyPercent * judged.standard_error);
    const Interval fifty =
        interval_of(judged.variable, judged.estimate, kFiftyPercent * judged.standard_error);
    ++sums.intervals;
    sums.within_90 += holds(ninety, judged.observed) ? 1.0 : 0.0;
    sums.within_50 += holds(fifty, judged.observed) ? 1.0 : 0.0;
    sums.interval_score += interval_score(ninety, judged.observed);
    sums.width += ninety.high - ninety.low;
}

/// For the background: the constant such that 90 % of all errors are within 1.645 of it.
double constant_standard_error(const std::vector<ScoredStation>& stations,
                               ScoredVariable variable) {
    std::vector<double> errors;
    for (const ScoredStation& station : stations) {
        const ScoredYear& background =
            station.estimates[static_cast<std::size_t>(Estimator::background)];
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double error =
                of(background, variable)[month] - of(station.observed, variable)[month];
            if (!std::isnan(error)) errors.push_back(std::abs(error));
        }
    }
    if (errors.empty() || !has_standard_error(variable)) return kUnknown;
    return quantile(std::move(errors), 0.9) / kNinetyPercent;
}

/// Sums for all scores, addressed by variable, region, month, distance and estimator.
class SumsTable {
  public:
    SumsTable()
        : sums_(kScoredVariables * kRegions * kMonthsAndYear * kDistanceClasses * kEstimators) {}

    Sums& at(ScoredVariable variable, Region region, std::size_t month, DistanceClass distance,
             Estimator estimator) {
        std::size_t index = static_cast<std::size_t>(variable);
        index = index * kRegions + static_cast<std::size_t>(region);
        index = index * kMonthsAndYear + month;
        index = index * kDistanceClasses + static_cast<std::size_t>(distance);
        return sums_[index * kEstimators + static_cast<std::size_t>(estimator)];
    }

  private:
    std::vector<Sums> sums_;
};

void add_station(SumsTable& table, const ScoredStation& station,
                 const ByVariable<double>& background_se) {
    std::vector<Region> regions;
    for (std::size_t r = 0; r < kRegions; ++r) {
        const auto region = static_cast<Region>(r);
        if (is_in(region, station.position, station.country)) regions.push_back(region);
    }
    for (std::size_t v = 0; v < kScoredVariables; ++v) {
        const auto variable = static_cast<ScoredVariable>(v);
        const DistanceClass distance = distance_class_of(station.nearest_km[v]);
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double observed = station.observed[v][month];
            if (std::isnan(observed)) continue;
            const bool is_answered = !std::isnan(station.estimates[0][v][month]);
            for (std::size_t e = 0; e < kEstimators; ++e) {
                const auto estimator = static_cast<Estimator>(e);
                const double estimate = station.estimates[e][v][month];
                if (estimator != Estimator::fused && !is_answered) continue;
                if (estimator == Estimator::hargreaves && std::isnan(estimate)) continue;
                const double se = estimator == Estimator::fused ? station.standard_error[v][month]
                                  : estimator == Estimator::background ? background_se[v]
                                                                       : kUnknown;
                for (const Region region : regions) {
                    for (const std::size_t m : {month + 1, std::size_t{0}}) {
                        for (const DistanceClass d : {distance, DistanceClass::all}) {
                            add(table.at(variable, region, m, d, estimator),
                                {variable, observed, estimate, se});
                        }
                    }
                }
            }
        }
    }
}

double ratio(double sum, std::int64_t count) {
    return count > 0 ? sum / static_cast<double>(count) : kUnknown;
}

Score score_of_sums(const Sums& sums) {
    Score score;
    score.n = sums.n;
    score.misses = sums.misses;
    score.mae = ratio(sums.absolute_error, sums.n);
    score.bias = ratio(sums.error, sums.n);
    score.observed_mean = ratio(sums.observed, sums.n);
    score.coverage_50 = ratio(sums.within_50, sums.intervals);
    score.coverage_90 = ratio(sums.within_90, sums.intervals);
    score.interval_score = ratio(sums.interval_score, sums.intervals);
    score.mean_width = ratio(sums.width, sums.intervals);
    return score;
}

/// Mean of the classes that have stations, weighted by the lattice's points.
Score as_lattice(const std::vector<Score>& by_class, const PointsByClass& points) {
    Score mean;
    mean.mae = mean.bias = mean.observed_mean = mean.coverage_50 = mean.coverage_90 = 0.0;
    double total = 0.0;
    for (const Score& score : by_class) {
        const auto weight = static_cast<double>(points[static_cast<std::size_t>(score.distance)]);
        mean.n += score.n;
        mean.misses += score.misses;
        if (score.n == 0 || weight == 0.0) continue;
        total += weight;
        mean.mae += weight * score.mae;
        mean.bias += weight * score.bias;
        mean.observed_mean += weight * score.observed_mean;
        mean.coverage_50 += weight * score.coverage_50;
        mean.coverage_90 += weight * score.coverage_90;
        mean.interval_score += weight * score.interval_score;
        mean.mean_width += weight * score.mean_width;
    }
    for (double* value : {&mean.mae, &mean.bias, &mean.observed_mean, &mean.coverage_50,
                          &mean.coverage_90, &mean.interval_score, &mean.mean_width})
        *value = total > 0.0 ? *value / total : kUnknown;
    return mean;
}

}  // namespace

std::vector<Score> scores_of(const std::vector<ScoredStation>& stations,
                             const LatticeClasses& lattice) {
    ByVariable<double> background_se{};
    for (std::size_t v = 0; v < kScoredVariables; ++v)
        background_se[v] = constant_standard_error(stations, static_cast<ScoredVariable>(v));
    SumsTable table;
    for (const ScoredStation& station : stations) add_station(table, station, background_se);

    std::vector<Score> scores;
    for (std::size_t v = 0; v < kScoredVariables; ++v) {
        for (std::size_t r = 0; r < kRegions; ++r) {
            for (std::size_t month = 0; month < kMonthsAndYear; ++month) {
                for (std::size_t e = 0; e < kEstimators; ++e) {
                    const auto variable = static_cast<ScoredVariable>(v);
                    const auto region = static_cast<Region>(r);
                    const auto estimator = static_cast<Estimator>(e);
                    std::vector<Score> by_class;
                    const auto named = [&](Score score, DistanceClass distance) {
                        score.variable = variable;
                        score.region = region;
                        score.month = static_cast<int>(month);
                        score.distance = distance;
                        score.estimator = estimator;
                        return score;
                    };
                    for (std::size_t d = 0; d < static_cast<std::size_t>(DistanceClass::as_lattice);
                         ++d) {
                        const auto distance = static_cast<DistanceClass>(d);
                        const Sums& sums = table.at(variable, region, month, distance, estimator);
                        if (sums.n + sums.misses == 0) continue;
                        const Score score = named(score_of_sums(sums), distance);
                        scores.push_back(score);
                        if (distance != DistanceClass::all) by_class.push_back(score);
                    }
                    if (by_class.empty()) continue;
                    const Score weighted = as_lattice(by_class, lattice[r][v]);
                    if (!std::isnan(weighted.mae))
                        scores.push_back(named(weighted, DistanceClass::as_lattice));
                }
            }
        }
    }
    return scores;
}

const Score* score_of(const std::vector<Score>& scores, ScoredVariable variable, Region region,
                      int month, DistanceClass distance, Estimator estimator) {
    const auto found = std::find_if(scores.begin(), scores.end(), [&](const Score& s) {
        return s.variable == variable && s.region == region && s.month == month &&
               s.distance == distance && s.estimator == estimator;
    });
    return found == scores.end() ? nullptr : &*found;
}

}  // namespace thirstline
