#include "builder/fusion/residual_field.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "builder/background/sphere_tree.hpp"
#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr double kLongRangeKm = 1000.0;
constexpr double kReliefUnitM = 50.0;
constexpr double kReliefOfErrorM = 100.0;
constexpr std::size_t kNeighbours = 24;
// The scale of the error counts neighbours fully up to this share of the distance of the farthest
// one, and then less and less: over an even network it averages as many as sixteen equal ones.
constexpr double kFullScaleShare = 0.5;
constexpr double kScalePrior = 2.0;           // weight of the mean misfit, as a number of stations
constexpr double kUsualVarianceWeight = 5.0;  // weight, as a number of stations
constexpr double kMaxMisfit = 12.0;           // times the median
constexpr double kMinNugget = 1e-9;
constexpr double kNoRange = 1e9;
// Median of the square of a standard normal variable.
constexpr double kMedianOfSquare = 0.455;

struct Node {
    Vector3 km{};
    double elevation_km = 0.0;
    double above_cells_km = 0.0;
    double log_relief = 0.0;
    double relief_factor = 1.0;  ///< of the error's variance
    double land_share = 1.0;
    Monthly<double> regime{};
};

double relief_factor(const ResidualSite& site, const CovarianceModel& model) {
    return std::pow(1.0 + site.relief_m / kReliefOfErrorM, 2.0 * model.relief_power);
}

Node node_of(const ResidualSite& site, const CovarianceModel& model) {
    return {point_on_sphere(site.position, kEarthRadiusKm),
            site.elevation_m / 1000.0,
            site.above_cells_m / 1000.0,
            std::log1p(site.relief_m / kReliefUnitM),
            relief_factor(site, model),
            site.land_share,
            site.regime};
}

/// Mean difference of two regimes over the months that both have, in units of the range; 0 if none.
double regime_distance(const CovarianceModel& model, const Node& a, const Node& b) {
    if (model.regime_range >= kNoRange) return 0.0;
    double sum = 0.0;
    int known = 0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double difference = std::abs(a.regime[month] - b.regime[month]);
        if (std::isnan(difference)) continue;
        sum += difference;
        ++known;
    }
    return known == 0 ? 0.0 : sum / (known * model.regime_range);
}

double covariance(const CovarianceModel& model, const Node& a, const Node& b) {
    const double d = chord_length(a.km, b.km);
    return std::exp(-d / model.short_range_km -
                    std::abs(a.elevation_km - b.elevation_km) / model.vertical_range_km -
                    std::abs(a.log_relief - b.log_relief) / model.relief_range -
                    std::abs(a.land_share - b.land_share) / model.coast_range -
                    regime_distance(model, a, b)) +
           (model.long_sill + model.slope_sill * a.above_cells_km * b.above_cells_km) *
               std::exp(-d / kLongRangeKm);
}

/// 1 up to kFullScaleShare, 0 from 1 on, with continuous slope.
double tapered(double share_of_edge) {
    const double x =
        std::clamp((share_of_edge - kFullScaleShare) / (1.0 - kFullScaleShare), 0.0, 1.0);
    return 1.0 - x * x * (3.0 - 2.0 * x);
}

struct Neighbour {
    std::size_t station = 0;
    double km = 0.0;
};

/// Small fixed sizes: no allocation in the inner loop.
using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, kNeighbours, kNeighbours>;
using Column = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, kNeighbours, 1>;

}  // namespace

struct ResidualField::State {
    State(std::vector<ResidualStation> known, const CovarianceModel& covariance_model)
        : stations(std::move(known)), model(covariance_model) {
        nodes.reserve(stations.size());
        for (const ResidualStation& station : stations)
            nodes.push_back(node_of(station.site, model));
        std::vector<Vector3> points;
        for (const Node& node : nodes) points.push_back(node.km);
        tree.emplace(std::move(points));
    }

    /// The nearest stations that are not left out.
    [[nodiscard]] std::vector<Neighbour> neighbours(const Node& node, std::size_t count,
                                                    const std::optional<LeftOut>& without) const {
        std::vector<std::size_t> numbers(count);
        std::vector<double> squared(count);
        std::size_t found = 0;
        if (without) {
            const auto is_wanted = [&](std::size_t i) {
                return without->stations == nullptr || !(*without->stations)[stations[i].number];
            };
            found = tree->nearest_beyond(node.km, count,
                                         point_on_sphere(without->position, kEarthRadiusKm),
                                         without->km, is_wanted, numbers.data(), squared.data());
        } else {
            found = tree->nearest(node.km, count, numbers.data(), squared.data());
        }
        std::vector<Neighbour> near;
        for (std::size_t i = 0; i < found; ++i) near.push_back({numbers[i], std::sqrt(squared[i])});
        return near;
    }

    /// Simple kriging: weights, and the remaining variance in units of the short-range sill.
    struct Solution {
        Column weights;
        double variance = 0.0;
        double sill = 0.0;
    };
    [[nodiscard]] Solution solved(const Node& node, const std::vector<Neighbour>& near) const {
        const auto n = static_cast<Eigen::Index>(near.size());
        Matrix matrix(n, n);
        Column to_node(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            const std::size_t a = near[static_cast<std::size_t>(i)].station;
            for (Eigen::Index j = 0; j < i; ++j) {
                matrix(i, j) =
                    covariance(model, nodes[a], nodes[near[static_cast<std::size_t>(j)].station]);
            }
            matrix(i, i) = covariance(model, nodes[a], nodes[a]) +
                           std::max(model.nugget * stations[a].noise, kMinNugget);
            to_node(i) = covariance(model, nodes[a], node);
        }
        Solution solution;
        solution.sill = covariance(model, node, node);
        solution.variance = solution.sill;
        if (near.empty()) return solution;
        const Eigen::LLT<Matrix, Eigen::Lower> factor(matrix);
        solution.weights = factor.solve(to_node);
        solution.variance = std::max(solution.sill - solution.weights.dot(to_node), 0.0);
        return solution;
    }

    /// Of a faded estimate, which explains less of the sill. Includes the nugget, because the
    /// required error is that against another station's normal, the only one that can be tested.
    [[nodiscard]] double faded_variance(const Solution& solution, double fade) const {
        return solution.sill - (2.0 * fade - fade * fade) * (solution.sill - solution.variance) +
               model.nugget;
    }

    [[nodiscard]] Monthly<double> weighted_residual(const std::vector<Neighbour>& near,
                                                    const Column& weights) const {
        Monthly<double> sum{};
        for (std::size_t i = 0; i < near.size(); ++i) {
            const double weight = weights(static_cast<Eigen::Index>(i));
            for (std::size_t month = 0; month < kMonths; ++month)
                sum[month] += weight * stations[near[i].station].residual[month];
        }
        return sum;
    }

    /// Ratio of the squared misfits around a place to the model's expectation, by month.
    [[nodiscard]] Monthly<double> local_scale(const std::vector<Neighbour>& near) const {
        // Where the farthest neighbour changes for another, its weight is 0: without a seam.
        const double edge_km = near.size() == kNeighbours ? near.back().km : 0.0;
        Monthly<double> mean{};
        double weight = 0.0;
        for (const Neighbour& neighbour : near) {
            const double share = edge_km > 0.0 ? tapered(neighbour.km / edge_km) : 1.0;
            weight += share;
            for (std::size_t month = 0; month < kMonths; ++month)
                mean[month] += share * misfit[neighbour.station][month];
        }
        if (weight == 0.0) return mean_misfit;
        for (double& of_month : mean) of_month /= weight;
        Monthly<double> scale{};
        for (std::size_t month = 0; month < kMonths; ++month) {
            const int m = static_cast<int>(month);
            const double smooth = (mean[static_cast<std::size_t>(previous_month(m))] + mean[month] +
                                   mean[static_cast<std::size_t>(next_month(m))]) /
                                  3.0;
            scale[month] =
                (kScalePrior * mean_misfit[month] + weight * smooth) / (kScalePrior + weight);
        }
        return scale;
    }

    std::vector<ResidualStation> stations;
    CovarianceModel model;
    std::vector<Node> nodes;
    std::optional<SphereTree> tree;
    std::vector<Monthly<double>> misfit;    ///< squared, over the model's expectation, limited
    std::vector<Monthly<double>> left_out;  ///< residual minus its left-out estimate
    std::vector<double> left_out_variance;  ///< in units of the short-range sill, nugget included
    Monthly<double> mean_misfit{};
};

namespace {

double faded(const CovarianceModel& model, double nearest_km) {
    const double x = nearest_km / model.fading_km;
    return model.fading_floor + (1.0 - model.fading_floor) * std::exp(-x * x);
}

}  // namespace

ResidualField::ResidualField(std::vector<ResidualStation> stations, const CovarianceModel& model,
                             bool local_scale)
    : state_(std::make_unique<State>(std::move(stations), model)) {
    State& s = *state_;
    s.mean_misfit.fill(1.0);
    if (!local_scale) return;
    s.mean_misfit.fill(0.0);
    const std::size_t count = s.stations.size();
    s.misfit.resize(count);
    s.left_out.resize(count);
    s.left_out_variance.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        const LeftOut own{s.stations[i].site.position, kSameSiteKm, nullptr};
        const auto near = s.neighbours(s.nodes[i], kNeighbours, own);
        const State::Solution solution = s.solved(s.nodes[i], near);
        const double fade = near.empty() ? 0.0 : faded(s.model, near.front().km);
        const Monthly<double> estimate = s.weighted_residual(near, solution.weights);
        s.left_out_variance[i] = s.faded_variance(solution, fade) * s.nodes[i].relief_factor;
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double level = s.stations[i].level[month];
            s.left_out[i][month] = s.stations[i].residual[month] - fade * estimate[month];
            s.misfit[i][month] = s.left_out[i][month] * s.left_out[i][month] /
                                 (s.left_out_variance[i] * level * level);
        }
    }
    const double usual_weight = model.usual_variance > 0.0 ? kUsualVarianceWeight : 0.0;
    const double all_weight = usual_weight + static_cast<double>(count);
    for (std::size_t month = 0; month < kMonths; ++month) {
        s.mean_misfit[month] = usual_weight * model.usual_variance / all_weight;
        std::vector<double> of_month;
        for (const Monthly<double>& misfit : s.misfit) of_month.push_back(misfit[month]);
        const double most = kMaxMisfit * upper_median(of_month) / kMedianOfSquare;
        for (Monthly<double>& misfit : s.misfit) {
            misfit[month] = std::min(misfit[month], most);
            s.mean_misfit[month] += misfit[month] / all_weight;
        }
    }
}

ResidualField::~ResidualField() = default;
ResidualField::ResidualField(ResidualField&&) noexcept = default;
ResidualField& ResidualField::operator=(ResidualField&&) noexcept = default;

void ResidualField::use_model(const CovarianceModel& model) {
    state_->model = model;
    for (std::size_t i = 0; i < state_->nodes.size(); ++i)
        state_->nodes[i].relief_factor = relief_factor(state_->stations[i].site, model);
}

const CovarianceModel& ResidualField::model() const {
    return state_->model;
}
const std::vector<ResidualStation>& ResidualField::stations() const {
    return state_->stations;
}

std::optional<ResidualEstimate> ResidualField::at(const ResidualSite& site,
                                                  const std::optional<LeftOut>& left_out) const {
    const State& s = *state_;
    const Node node = node_of(site, s.model);
    const auto near = s.neighbours(node, kNeighbours, left_out);
    if (near.empty()) return std::nullopt;
    const State::Solution solution = s.solved(node, near);
    ResidualEstimate estimate;
    estimate.nearest_km = near.front().km;
    estimate.fading = faded(s.model, estimate.nearest_km);
    estimate.correction = s.weighted_residual(near, solution.weights);
    const double variance = s.faded_variance(solution, estimate.fading) * node.relief_factor;
    const Monthly<double> scale = s.misfit.empty() ? s.mean_misfit : s.local_scale(near);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double lost = s.model.faded_part_is_error
                                ? (1.0 - estimate.fading) * estimate.correction[month]
                                : 0.0;
        estimate.correction[month] *= estimate.fading;
        estimate.standard_error[month] = std::sqrt(variance * scale[month] + lost * lost);
    }
    return estimate;
}

const std::vector<Monthly<double>>& ResidualField::left_out_misfits() const {
    return state_->left_out;
}

std::vector<double> ResidualField::expected_deviations() const {
    std::vector<double> deviations;
    for (const double variance : state_->left_out_variance)
        deviations.push_back(std::sqrt(variance));
    return deviations;
}

}  // namespace thirstline
