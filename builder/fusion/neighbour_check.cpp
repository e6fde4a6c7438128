#include "builder/fusion/neighbour_check.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "builder/fusion/nearest_stations.hpp"
#include "builder/inputs/statistics.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

constexpr int kMaxRounds = 20;
constexpr std::size_t kNeighboursCompared = 24;
constexpr double kWidestLocalScale = 2.5;
constexpr double kSpike = 14.0;
constexpr double kSeason = 5.0;
constexpr std::size_t kMinCheckedStations = 30;
// Values outside the limits of station_plausibility.hpp are rejected at a smaller misfit.
constexpr double kMinImpossibleScore = 0.2;
constexpr double kAroundKm = 120.0;
constexpr std::size_t kMinAround = 3;
constexpr double kMaxMisfitAround = 1.0 / 3.0;
constexpr double kSameSideShare = 0.5;
constexpr double kFlatReliefM = 100.0;

std::vector<LatLon> positions_of(const std::vector<ResidualStation>& stations) {
    std::vector<LatLon> positions;
    for (const ResidualStation& station : stations) positions.push_back(station.site.position);
    return positions;
}

/// Largest difference of a month from the mean of the two adjacent months.
double greatest_spike(const Monthly<double>& misfit) {
    double greatest = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double beside =
            (misfit[(month + 1) % kMonths] + misfit[(month + 11) % kMonths]) / 2.0;
        greatest = std::max(greatest, std::abs(misfit[month] - beside));
    }
    return greatest;
}

/// Mean deviation of the months from the year's misfit.
double seasonal_misfit(const Monthly<double>& misfit, double of_year) {
    double sum = 0.0;
    for (const double month : misfit) sum += std::abs(month - of_year);
    return sum / kMonths;
}

struct Round {
    std::vector<double> score;   ///< yearly misfit over the permitted one; above 1 is suspect
    std::vector<double> misfit;  ///< mean of the year, in the driver's unit
    std::vector<Monthly<double>> misfits;
};

Round judged(const std::vector<ResidualStation>& stations, const CovarianceModel& model,
             double threshold, const std::vector<std::vector<std::size_t>>& nearest) {
    const ResidualField field(stations, model);
    const std::vector<double> expected = field.expected_deviations();
    std::vector<double> relative;
    std::vector<double> spikes;
    std::vector<double> seasons;
    Round round;
    round.misfits = field.left_out_misfits();
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const Monthly<double>& misfit = field.left_out_misfits()[i];
        round.misfit.push_back(std::accumulate(misfit.begin(), misfit.end(), 0.0) / kMonths);
        relative.push_back(std::abs(round.misfit.back()) / expected[i]);
        spikes.push_back(greatest_spike(misfit));
        seasons.push_back(seasonal_misfit(misfit, round.misfit.back()));
    }
    const double scale = kRobustScale * upper_median(relative);
    const double spike_scale = kRobustScale * upper_median(spikes);
    const double season_scale = kRobustScale * upper_median(seasons);
    // If most stations agree exactly with the background, there is no scale to judge by.
    if (!(scale > 0.0 && spike_scale > 0.0 && season_scale > 0.0)) {
        round.score.assign(stations.size(), 0.0);
        return round;
    }
    for (std::size_t i = 0; i < stations.size(); ++i) {
        std::vector<double> around;
        for (const std::size_t other : nearest[i]) around.push_back(relative[other]);
        const double local =
            std::clamp(kRobustScale * upper_median(around), scale, kWidestLocalScale * scale);
        // The season alone does not make a suspect: it only triggers the plausibility check.
        const double season = seasons[i] * scale / (kSeason * season_scale * local);
        round.score.push_back(
            std::max({relative[i] / (threshold * local),
                      spikes[i] * scale / (kSpike * spike_scale * local), std::min(season, 1.0)}));
    }
    return round;
}

double km_between(const ResidualStation& a, const ResidualStation& b) {
    return chord_length(point_on_sphere(a.site.position, kEarthRadiusKm),
                        point_on_sphere(b.site.position, kEarthRadiusKm));
}

double nearest_km(const std::vector<ResidualStation>& stations, std::size_t station,
                  const std::vector<std::size_t>& nearest) {
    double least = std::numeric_limits<double>::infinity();
    for (const std::size_t other : nearest) {
        const double km = km_between(stations[station], stations[other]);
        if (km > kSameSiteKm) least = std::min(least, km);
    }
    return least;
}

/// Whether the stations around agree with their own surroundings, and none of them with this one.
bool has_reliable_neighbours(const std::vector<ResidualStation>& stations, const Round& round,
                             std::size_t station, const std::vector<std::size_t>& nearest) {
    if (stations[station].site.relief_m > kFlatReliefM) return false;
    const double own = round.misfit[station];
    std::vector<double> around;
    for (const std::size_t other : nearest) {
        if (km_between(stations[station], stations[other]) > kAroundKm) continue;
        around.push_back(std::abs(round.misfit[other]));
        if (round.misfit[other] * own > kSameSideShare * own * own) return false;
    }
    return around.size() >= kMinAround && upper_median(around) < kMaxMisfitAround * std::abs(own);
}

/// Scores that remain above 1 only if the station is to be rejected; others that were above 1 are
/// reported as kept.
std::vector<bool> weigh_plausibilities(Round& round, const std::vector<ResidualStation>& stations,
                                       const std::vector<std::size_t>& original,
                                       const std::vector<std::vector<std::size_t>>& nearest,
                                       const StationPlausibility& plausibility) {
    std::vector<bool> is_kept(stations.size(), false);
    for (std::size_t i = 0; plausibility && i < stations.size(); ++i) {
        double& score = round.score[i];
        if (score <= kMinImpossibleScore) continue;
        const Plausibility verdict = plausibility(original[i], round.misfits[i]);
        if (verdict == Plausibility::impossible) {
            score = score / kMinImpossibleScore;
        } else if (score > 1.0 && !(verdict == Plausibility::doubtful &&
                                    has_reliable_neighbours(stations, round, i, nearest[i]))) {
            is_kept[i] = true;
            score = 1.0;
        }
    }
    return is_kept;
}

}  // namespace

std::vector<NeighbourSuspect> neighbour_suspects(const std::vector<ResidualStation>& stations,
                                                 const CovarianceModel& model, double threshold,
                                                 const StationPlausibility& plausibility,
                                                 const std::atomic<bool>* interrupted) {
    std::vector<NeighbourSuspect> suspects;
    std::vector<NeighbourSuspect> kept_suspects;
    std::vector<ResidualStation> kept = stations;
    std::vector<std::size_t> original(stations.size());
    std::iota(original.begin(), original.end(), std::size_t{0});
    for (int round = 0; round < kMaxRounds && kept.size() >= kMinCheckedStations; ++round) {
        if (interrupted != nullptr && interrupted->load()) break;
        const auto nearest = nearest_stations(positions_of(kept), kNeighboursCompared);
        Round now = judged(kept, model, threshold, nearest);
        const std::vector<bool> is_kept =
            weigh_plausibilities(now, kept, original, nearest, plausibility);
        std::vector<bool> is_out(kept.size(), false);
        bool any = false;
        kept_suspects.clear();
        for (std::size_t i = 0; i < kept.size(); ++i) {
            const auto suspect = [&] {
                return NeighbourSuspect{original[i], now.misfit[i], now.misfits[i],
                                        nearest_km(kept, i, nearest[i]), is_kept[i]};
            };
            if (is_kept[i]) kept_suspects.push_back(suspect());
            if (!(now.score[i] > 1.0)) continue;
            const bool has_worse_rival =
                std::any_of(nearest[i].begin(), nearest[i].end(),
                            [&](std::size_t other) { return now.score[other] > now.score[i]; });
            if (has_worse_rival) continue;
            is_out[i] = any = true;
            suspects.push_back(suspect());
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
    suspects.insert(suspects.end(), kept_suspects.begin(), kept_suspects.end());
    return suspects;
}

}  // namespace thirstline
