#include "builder/fusion/covariance_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace thirstline {

namespace {

constexpr std::size_t kMinFittedStations = 150;
constexpr std::size_t kMaxTargets = 500;
constexpr std::size_t kParameters = 5;
constexpr int kMaxEvaluations = 60;
constexpr double kFirstStep = 0.5;
constexpr double kPull = 0.004;
constexpr double kMinSill = 0.01;

using Parameters = std::array<double, kParameters>;  // logarithms

Parameters parameters_of(const CovarianceModel& model) {
    return {std::log(model.short_range_km), std::log(model.vertical_range_km),
            std::log(std::max(model.long_sill, kMinSill)),
            std::log(std::max(model.slope_sill, kMinSill)), std::log(model.nugget)};
}

CovarianceModel model_of(const Parameters& p, CovarianceModel model) {
    const double most_range = 3.0 * model.short_range_km;
    model.short_range_km = std::min(std::exp(p[0]), most_range);
    model.vertical_range_km = std::exp(p[1]);
    model.long_sill = std::exp(p[2]);
    model.slope_sill = std::exp(p[3]);
    model.nugget = std::exp(p[4]);
    return model;
}

/// A subset of the stations, evenly spaced along a line through the buckets of 2°, so that
/// countries with dense networks do not outweigh the rest.
std::vector<std::size_t> spread_targets(const std::vector<ResidualStation>& stations) {
    std::vector<std::pair<std::pair<int, int>, std::size_t>> by_bucket;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const LatLon at = stations[i].site.position;
        by_bucket.push_back({{static_cast<int>(std::floor(at.lat_deg / 2.0)),
                              static_cast<int>(std::floor(at.lon_deg / 2.0))},
                             i});
    }
    std::sort(by_bucket.begin(), by_bucket.end());
    // One per bucket in turn, until there are enough.
    std::vector<std::size_t> targets;
    for (std::size_t turn = 0; targets.size() < std::min(kMaxTargets, stations.size()); ++turn) {
        std::size_t in_bucket = 0;
        for (std::size_t i = 0; i < by_bucket.size() && targets.size() < kMaxTargets; ++i) {
            in_bucket = i > 0 && by_bucket[i].first == by_bucket[i - 1].first ? in_bucket + 1 : 0;
            if (in_bucket == turn) targets.push_back(by_bucket[i].second);
        }
    }
    return targets;
}

class Objective {
  public:
    Objective(const std::vector<ResidualStation>& stations, const CovarianceModel& start)
        : stations_(stations),
          field_(stations, start, false),
          start_(start),
          origin_(parameters_of(start)),
          targets_(spread_targets(stations)) {}

    double at(const Parameters& parameters) {
        field_.use_model(model_of(parameters, start_));
        double error = 0.0;
        double level = 0.0;
        for (const std::size_t target : targets_) {
            const ResidualStation& station = stations_[target];
            const auto estimate =
                field_.at(station.site, LeftOut{station.site.position, kSameSiteKm, nullptr});
            for (std::size_t month = 0; month < kMonths; ++month) {
                const double correction = estimate ? estimate->correction[month] : 0.0;
                error += std::abs(station.residual[month] - correction) / station.level[month];
                level += 1.0;
            }
        }
        double pull = 0.0;
        for (std::size_t i = 0; i < kParameters; ++i)
            pull += (parameters[i] - origin_[i]) * (parameters[i] - origin_[i]);
        return error / level * (1.0 + kPull * pull);
    }

  private:
    const std::vector<ResidualStation>& stations_;
    ResidualField field_;
    CovarianceModel start_;
    Parameters origin_;
    std::vector<std::size_t> targets_;
};

struct Vertex {
    Parameters at{};
    double value = 0.0;
};

Parameters along(const Parameters& from, const Parameters& to, double step) {
    Parameters point{};
    for (std::size_t i = 0; i < kParameters; ++i) point[i] = from[i] + step * (to[i] - from[i]);
    return point;
}

Parameters lowest(Objective& objective, const Parameters& start,
                  const std::atomic<bool>* interrupted) {
    int evaluations = 0;
    const auto vertex_at = [&](const Parameters& at) {
        ++evaluations;
        return Vertex{at, objective.at(at)};
    };
    std::vector<Vertex> simplex{vertex_at(start)};
    for (std::size_t i = 0; i < kParameters; ++i) {
        Parameters at = start;
        at[i] += kFirstStep;
        simplex.push_back(vertex_at(at));
    }
    const auto by_value = [](const Vertex& a, const Vertex& b) { return a.value < b.value; };
    while (evaluations < kMaxEvaluations && (interrupted == nullptr || !interrupted->load())) {
        std::sort(simplex.begin(), simplex.end(), by_value);
        Parameters centre{};
        for (std::size_t v = 0; v < kParameters; ++v) {
            for (std::size_t i = 0; i < kParameters; ++i)
                centre[i] += simplex[v].at[i] / kParameters;
        }
        Vertex& worst = simplex.back();
        const Vertex reflected = vertex_at(along(worst.at, centre, 2.0));
        if (reflected.value < simplex.front().value) {
            const Vertex expanded = vertex_at(along(worst.at, centre, 3.0));
            worst = std::min(expanded, reflected, by_value);
            continue;
        }
        if (reflected.value < simplex[kParameters - 1].value) {
            worst = reflected;
            continue;
        }
        const Vertex contracted =
            vertex_at(along(worst.at, centre, reflected.value < worst.value ? 1.5 : 0.5));
        if (contracted.value < std::min(reflected.value, worst.value)) {
            worst = contracted;
            continue;
        }
        for (std::size_t v = 1; v < simplex.size(); ++v)
            simplex[v] = vertex_at(along(simplex.front().at, simplex[v].at, 0.5));
    }
    return std::min_element(simplex.begin(), simplex.end(), by_value)->at;
}

}  // namespace

CovarianceModel fitted_covariance(const std::vector<ResidualStation>& stations,
                                  const CovarianceModel& start,
                                  const std::atomic<bool>* interrupted) {
    if (stations.size() < kMinFittedStations) return start;
    Objective objective(stations, start);
    return model_of(lowest(objective, parameters_of(start), interrupted), start);
}

}  // namespace thirstline
