#include "builder/fusion/neighbour_check.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "builder/fusion/nearest_stations.hpp"
#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr int kMaxRounds = 10;
constexpr std::size_t kNeighboursCompared = 24;
constexpr double kWidestLocalScale = 2.5;
constexpr double kSpike = 14.0;
constexpr std::size_t kMinStations = 30;

std::vector<LatLon> positions_of(const std::vector<ResidualStation>& stations) {
    std::vector<LatLon> positions;
    for (const ResidualStation& station : stations) positions.push_back(station.site.position);
    return positions;
}

/// Greatest departure of a month from the mean of those beside it.
double greatest_spike(const Monthly<double>& misfit) {
    double greatest = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double beside =
            (misfit[(month + 1) % kMonths] + misfit[(month + 11) % kMonths]) / 2.0;
        greatest = std::max(greatest, std::abs(misfit[month] - beside));
    }
    return greatest;
}

struct Round {
    std::vector<double> score;   ///< yearly misfit over what is allowed; above 1 is suspect
    std::vector<double> misfit;  ///< mean of the year, in the driver's unit
};

Round judged(const std::vector<ResidualStation>& stations, const CovarianceModel& model,
             double threshold, const std::vector<std::vector<std::size_t>>& nearest) {
    const ResidualField field(stations, model);
    const std::vector<double> expected = field.expected_deviations();
    std::vector<double> relative;
    std::vector<double> spikes;
    Round round;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const Monthly<double>& misfit = field.left_out_misfits()[i];
        round.misfit.push_back(std::accumulate(misfit.begin(), misfit.end(), 0.0) / kMonths);
        relative.push_back(std::abs(round.misfit.back()) / expected[i]);
        spikes.push_back(greatest_spike(misfit));
    }
    const double scale = kRobustScale * upper_median(relative);
    const double spike_scale = kRobustScale * upper_median(spikes);
    // Where most stations say just what the background says there is nothing to judge by.
    if (!(scale > 0.0 && spike_scale > 0.0)) {
        round.score.assign(stations.size(), 0.0);
        return round;
    }
    for (std::size_t i = 0; i < stations.size(); ++i) {
        std::vector<double> around;
        for (const std::size_t other : nearest[i]) around.push_back(relative[other]);
        const double local =
            std::clamp(kRobustScale * upper_median(around), scale, kWidestLocalScale * scale);
        round.score.push_back(std::max(relative[i] / (threshold * local),
                                       spikes[i] * scale / (kSpike * spike_scale * local)));
    }
    return round;
}

}  // namespace

std::vector<NeighbourSuspect> neighbour_suspects(const std::vector<ResidualStation>& stations,
                                                 const CovarianceModel& model, double threshold) {
    std::vector<NeighbourSuspect> suspects;
    std::vector<ResidualStation> kept = stations;
    std::vector<std::size_t> original(stations.size());
    std::iota(original.begin(), original.end(), std::size_t{0});
    for (int round = 0; round < kMaxRounds && kept.size() >= kMinStations; ++round) {
        const auto nearest = nearest_stations(positions_of(kept), kNeighboursCompared);
        const Round now = judged(kept, model, threshold, nearest);
        std::vector<bool> is_out(kept.size(), false);
        bool any = false;
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (!(now.score[i] > 1.0)) continue;
            const bool has_worse_rival =
                std::any_of(nearest[i].begin(), nearest[i].end(),
                            [&](std::size_t other) { return now.score[other] > now.score[i]; });
            if (has_worse_rival) continue;
            is_out[i] = any = true;
            suspects.push_back({original[i], now.misfit[i]});
        }
        if (!any) break;
        std::vector<ResidualStation> still;
        std::vector<std::size_t> still_original;
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (is_out[i]) continue;
            still.push_back(std::move(kept[i]));
            still_original.push_back(original[i]);
        }
        kept = std::move(still);
        original = std::move(still_original);
    }
    return suspects;
}

}  // namespace thirstline
