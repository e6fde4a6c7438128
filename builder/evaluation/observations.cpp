#include "builder/evaluation/observations.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "builder/reference_et/hargreaves.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

// Limits the weight if two stations are at one place.
constexpr double kMinDistanceKm = 0.1;
// Below this much radiation at the top of the atmosphere clearness is unknown.
constexpr double kMinRa = 1.0;

bool has_all_drivers(const StationPlace& place) {
    for (const Driver driver : {Driver::mean_temperature, Driver::temperature_range,
                                Driver::humidity, Driver::log_wind, Driver::clearness}) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            const bool is_dark =
                driver == Driver::clearness && place.sun.ra_mj_m2_day[month] < kMinRa;
            if (std::isnan(of(place.own_drivers, driver)[month]) && !is_dark) return false;
        }
    }
    return true;
}

void add_weighted(Monthly<double>& sum, const Monthly<double>& values, double weight) {
    for (std::size_t month = 0; month < kMonths; ++month) sum[month] += weight * values[month];
}

/// Inverse squares of distance, their sum 1.
std::vector<double> weights_of(const std::vector<NearbyStation>& stations) {
    std::vector<double> weights;
    double sum = 0.0;
    for (const NearbyStation& station : stations) {
        const double km = std::max(station.km, kMinDistanceKm);
        weights.push_back(1.0 / (km * km));
        sum += weights.back();
    }
    for (double& weight : weights) weight /= sum;
    return weights;
}

constexpr std::array<ScoredVariable, 5> kMeanVariables{ScoredVariable::tmax, ScoredVariable::tmin,
                                                       ScoredVariable::rain, ScoredVariable::eto,
                                                       ScoredVariable::eto_temperature_only};

}  // namespace

Observation observation_of(const StationPlace& place, const EtOptions& options,
                           bool counts_typical_years) {
    using enum ScoredVariable;
    Observation observation;
    observation.position = place.site.position;
    observation.drivers = place.own_drivers;
    ScoredYear& values = observation.values;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double mean = of(place.own_drivers, Driver::mean_temperature)[month];
        const double half_range = of(place.own_drivers, Driver::temperature_range)[month] / 2.0;
        const double root = of(place.own_drivers, Driver::rain_root)[month];
        of(values, rain)[month] = root * root * kDaysInMonth[month];
        if (std::isnan(mean) || std::isnan(half_range)) continue;
        if (place.is_typical_year && !counts_typical_years) continue;
        of(values, tmax)[month] = mean + half_range;
        of(values, tmin)[month] = mean - half_range;
        of(values, eto_temperature_only)[month] = hargreaves_eto_mm_per_day(
            mean + half_range, mean - half_range, place.sun.ra_mj_m2_day[month]);
    }
    // ETo reported by a station takes precedence over ETo from its drivers.
    if (all_known(place.reported_eto_mm_per_day)) of(values, eto) = place.reported_eto_mm_per_day;
    if (!has_all_drivers(place)) return observation;
    of(values, eto_own_temperature) =
        reference_et_profile(place.own, place.sun, {}, options).eto_mm_per_day;
    if (!all_known(of(values, eto))) of(values, eto) = of(values, eto_own_temperature);
    return observation;
}

Measured measured_for(ScoredVariable variable) {
    switch (variable) {
        case ScoredVariable::tmax:
        case ScoredVariable::tmin:
        case ScoredVariable::eto_temperature_only:
        case ScoredVariable::share_of_peak_temperature_only:
        case ScoredVariable::eto_temperature_only_in_peak_month:
            return Measured::temperature;
        case ScoredVariable::rain:
            return Measured::rain;
        default:
            return Measured::all_drivers;
    }
}

Neighbourhood::Neighbourhood(std::span<const Observation> observations)
    : observations_(observations) {
    std::array<std::vector<Vector3>, kMeasured> points;
    for (std::size_t i = 0; i < observations.size(); ++i) {
        const auto add_if_known = [&](Measured measured, ScoredVariable variable) {
            const Monthly<double>& values = of(observations[i].values, variable);
            if (std::any_of(values.begin(), values.end(), [](double v) { return std::isnan(v); }))
                return;
            const auto m = static_cast<std::size_t>(measured);
            members_[m].push_back(i);
            points[m].push_back(point_on_sphere(observations[i].position, kEarthRadiusKm));
        };
        add_if_known(Measured::temperature, ScoredVariable::tmax);
        add_if_known(Measured::rain, ScoredVariable::rain);
        add_if_known(Measured::all_drivers, ScoredVariable::eto);
    }
    for (std::size_t m = 0; m < kMeasured; ++m)
        trees_[m] = std::make_unique<SphereTree>(std::move(points[m]));
}

std::vector<NearbyStation> Neighbourhood::nearest(Measured measured, std::size_t count,
                                                  LatLon position, const LeftOut& left_out) const {
    const std::vector<std::size_t>& members = members_[static_cast<std::size_t>(measured)];
    const auto is_wanted = [&](std::size_t member) {
        return left_out.stations == nullptr || !(*left_out.stations)[members[member]];
    };
    std::vector<NearbyStation> stations;
    // More than required as long as the last ones are equally far: their numbers decide which are
    // used, not the tree.
    for (std::size_t wanted = count + 1;; wanted *= 2) {
        std::vector<std::size_t> numbers(wanted);
        std::vector<double> squared(wanted);
        const std::size_t found = trees_[static_cast<std::size_t>(measured)]->nearest_beyond(
            point_on_sphere(position, kEarthRadiusKm), wanted,
            point_on_sphere(left_out.position, kEarthRadiusKm), left_out.km, is_wanted,
            numbers.data(), squared.data());
        stations.clear();
        for (std::size_t i = 0; i < found; ++i)
            stations.push_back({members[numbers[i]], std::sqrt(squared[i])});
        if (found < wanted || stations.empty() || stations.back().km > stations[count - 1].km)
            break;
    }
    std::sort(stations.begin(), stations.end(), [](const NearbyStation& a, const NearbyStation& b) {
        return a.km != b.km ? a.km < b.km : a.observation < b.observation;
    });
    stations.resize(std::min(count, stations.size()));
    return stations;
}

double Neighbourhood::nearest_km(Measured measured, LatLon position) const {
    std::size_t number = 0;
    double squared = 0.0;
    const std::size_t found = trees_[static_cast<std::size_t>(measured)]->nearest(
        point_on_sphere(position, kEarthRadiusKm), 1, &number, &squared);
    return found == 0 ? std::numeric_limits<double>::infinity() : std::sqrt(squared);
}

ScoredYear Neighbourhood::mean_of(Measured measured,
                                  const std::vector<NearbyStation>& stations) const {
    ScoredYear mean = unknown_scored_year();
    if (stations.empty()) return mean;
    const std::vector<double> weights = weights_of(stations);
    for (const ScoredVariable variable : kMeanVariables) {
        if (measured_for(variable) != measured) continue;
        of(mean, variable).fill(0.0);
        for (std::size_t i = 0; i < stations.size(); ++i) {
            add_weighted(of(mean, variable),
                         of(observations_[stations[i].observation].values, variable), weights[i]);
        }
    }
    return mean;
}

DriverYear Neighbourhood::mean_drivers(const std::vector<NearbyStation>& stations) const {
    DriverYear mean;
    mean.fill(kUnknownYear);
    if (stations.empty()) return mean;
    mean.fill({});
    const std::vector<double> weights = weights_of(stations);
    for (std::size_t i = 0; i < stations.size(); ++i) {
        for (std::size_t driver = 0; driver < kDrivers; ++driver) {
            add_weighted(mean[driver], observations_[stations[i].observation].drivers[driver],
                         weights[i]);
        }
    }
    return mean;
}

}  // namespace thirstline
