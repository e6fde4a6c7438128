#include "builder/evaluation/elevation_scores.hpp"

#include <cmath>

#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr double kNearM = 300.0;
constexpr double kFarM = 800.0;

constexpr std::array<ScoredVariable, 5> kShifted{ScoredVariable::tmax, ScoredVariable::tmin,
                                                 ScoredVariable::rain, ScoredVariable::eto,
                                                 ScoredVariable::eto_temperature_only};

/// Sums at first; `finish` converts them to means.
void add(ElevationScore& score, double observed, double with, double without,
         double standard_error) {
    if (std::isnan(observed) || std::isnan(with) || std::isnan(without)) return;
    // NaN as soon as a month has no interval.
    score.coverage_90 += std::isnan(standard_error)                                     ? kUnknown
                         : std::abs(with - observed) <= kNinetyPercent * standard_error ? 1.0
                                                                                        : 0.0;
    ++score.n;
    score.observed_mean += observed;
    score.mae_with += std::abs(with - observed);
    score.mae_without += std::abs(without - observed);
    score.bias_with += with - observed;
    score.bias_without += without - observed;
}

void finish(ElevationScore& score) {
    const auto n = static_cast<double>(score.n);
    for (double* sum : {&score.observed_mean, &score.mae_with, &score.mae_without, &score.bias_with,
                        &score.bias_without, &score.coverage_90})
        *sum /= n;
}

}  // namespace

RiseClass rise_class_of(double rise_m) {
    if (rise_m < -kFarM) return RiseClass::below_800;
    if (rise_m < -kNearM) return RiseClass::to_300;
    if (rise_m <= kNearM) return RiseClass::level;
    if (rise_m <= kFarM) return RiseClass::above_300;
    return RiseClass::beyond_800;
}

std::string_view rise_class_name(RiseClass rise) {
    switch (rise) {
        case RiseClass::below_800:
            return "over 800 m below";
        case RiseClass::to_300:
            return "300 to 800 m below";
        case RiseClass::level:
            return "within 300 m";
        case RiseClass::above_300:
            return "300 to 800 m above";
        case RiseClass::beyond_800:
            return "over 800 m above";
    }
    return "";
}

std::vector<ElevationScore> elevation_scores_of(const std::vector<ScoredStation>& stations) {
    std::vector<ElevationScore> scores;
    for (const ScoredVariable variable : kShifted) {
        std::array<ElevationScore, kRiseClasses> of_variable;
        for (std::size_t r = 0; r < kRiseClasses; ++r) {
            of_variable[r].variable = variable;
            of_variable[r].rise = static_cast<RiseClass>(r);
        }
        for (const ScoredStation& station : stations) {
            if (std::isnan(station.rise_m)) continue;
            ElevationScore& score =
                of_variable[static_cast<std::size_t>(rise_class_of(station.rise_m))];
            const ScoredYear& with = station.estimates[static_cast<std::size_t>(Estimator::fused)];
            for (std::size_t month = 0; month < kMonths; ++month) {
                add(score, of(station.observed, variable)[month], of(with, variable)[month],
                    of(station.without_elevation, variable)[month],
                    of(station.standard_error, variable)[month]);
            }
        }
        for (ElevationScore& score : of_variable) {
            if (score.n == 0) continue;
            finish(score);
            scores.push_back(score);
        }
    }
    return scores;
}

}  // namespace thirstline
