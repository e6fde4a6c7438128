#include "builder/fusion/driver_estimator.hpp"

#include <algorithm>
#include <cmath>

#include "builder/fusion/covariance_fit.hpp"
#include "builder/fusion/left_out_errors.hpp"
#include "builder/fusion/nearest_stations.hpp"
#include "builder/fusion/neighbour_check.hpp"
#include "builder/fusion/rain_scale.hpp"
#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMinNormals = 100;
constexpr std::size_t kMinTypical = 30;
// An extreme that may be correct is used, but its neighbours have more weight.
constexpr double kNoiseOfExtremes = 2.0;
// Prior of the overall difference: 0, with the weight of this many stations.
constexpr double kStationsOfNoDifference = 100.0;

/// Fitted to the WMO normals of 1991–2020 and the TMY3 sites over a grid of 1961–1990.
CovarianceModel fitted_to_open_data(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return {744, 1.81, 6.4, 0.21, 1.19, 0.41, 400, 0.5, 0.5, true};
        case Driver::temperature_range:
            return {508, 10.5, 2.7, 0.011, 2.17, 0.77, 400, 0.5, 0.25, false};
        case Driver::humidity:
            return {600, 2.0, 1e9, 0.2, 0.01, 1.0, 300, 0.0, 0.0, false};
        case Driver::log_wind:
            return {300, 0.9, 1e9, 0.1, 0.01, 1.6, 300, 0.0, 0.0, false};
        case Driver::clearness:
            return {800, 1.5, 1e9, 0.5, 0.01, 0.7, 300, 0.0, 0.0, false};
        case Driver::rain_root:
            return {270, 1.61, 2.6, 0.23, 3.21, 0.38, 180, 0.0, 0.5, false};
    }
    return {};
}

/// Range of the share of land; the optima are broad. Humidity, wind and clearness did not gain from
/// it at the TMY3 sites.
double coast_range(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return 1.5;
        case Driver::temperature_range:
            return 0.4;
        case Driver::rain_root:
            return 4.0;
        case Driver::humidity:
        case Driver::log_wind:
        case Driver::clearness:
            break;
    }
    return 1e9;
}

CovarianceModel usual_model(Driver driver) {
    CovarianceModel model = fitted_to_open_data(driver);
    model.coast_range = coast_range(driver);
    return model;
}

/// Rain is checked against its neighbours as a root, and kriged as a logarithm; neighbours of a
/// similar regime have more weight (rain_scale.hpp). Fitted to the same stations; the optimum is
/// broad.
CovarianceModel kriging_model(Driver driver) {
    if (driver != Driver::rain_root) return usual_model(driver);
    CovarianceModel model{700, 1.8, 3.5, 0.4, 3.2, 0.15, 300, 0.0, 0.5, false};
    model.regime_range = 1.2;
    model.coast_range = coast_range(driver);
    return model;
}

/// Short-range sill from the misfits of the same stations, in the driver's unit squared.
double usual_variance(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return 0.48;
        case Driver::temperature_range:
            return 1.0;
        case Driver::humidity:
            return 0.0025;
        case Driver::log_wind:
            return 0.027;
        case Driver::clearness:
            return 0.0013;
        case Driver::rain_root:
            return 0.0173;
    }
    return 0.0;
}

/// Rain varies most locally of all drivers.
double neighbour_threshold(Driver driver) {
    return driver == Driver::rain_root ? 8.0 : 6.0;
}

/// Typical years are computed from hourly readings, whose extremes are narrower than those of
/// maximum and minimum thermometers, and from other years. If both kinds are numerous, the overall
/// difference of the typical years is subtracted from them, month by month.
Monthly<double> typical_offset_taken_off(std::vector<ResidualStation>& residuals,
                                         const std::vector<bool>& is_typical,
                                         const CovarianceModel& model) {
    Monthly<double> offsets{};
    std::vector<ResidualStation> normals;
    for (std::size_t i = 0; i < residuals.size(); ++i)
        if (!is_typical[i]) normals.push_back(residuals[i]);
    if (normals.size() < kMinNormals || residuals.size() - normals.size() < kMinTypical)
        return offsets;
    const ResidualField field(std::move(normals), model, false);
    Monthly<std::vector<double>> differences;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        if (!is_typical[i]) continue;
        const auto estimate = field.at(residuals[i].site);
        for (std::size_t month = 0; month < kMonths; ++month)
            differences[month].push_back(residuals[i].residual[month] -
                                         estimate->correction[month]);
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        offsets[month] = upper_median(differences[month]);
        for (std::size_t i = 0; i < residuals.size(); ++i)
            if (is_typical[i]) residuals[i].residual[month] -= offsets[month];
    }
    return offsets;
}

/// What all stations differ by from the background, by month. Warming between two periods has much
/// the same sign everywhere, so the correction fades towards this with distance, not towards 0;
/// with few stations it is small. Only for temperature: stations that measure wind or radiation
/// are often of one country, and the difference of another country's would be wrong.
Monthly<double> overall_difference(const std::vector<ResidualStation>& stations) {
    Monthly<double> difference{};
    for (const ResidualStation& station : stations) {
        for (std::size_t month = 0; month < kMonths; ++month)
            difference[month] += station.residual[month];
    }
    for (double& of_month : difference)
        of_month /= static_cast<double>(stations.size()) + kStationsOfNoDifference;
    return difference;
}

/// Converts a station's residual of rain from roots to logarithms; `base` is the background's
/// roots.
void convert_to_logarithms(ResidualStation& station, const Monthly<double>& base) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        station.residual[month] =
            rain_log_of_root(base[month] + station.residual[month]) - rain_log_of_root(base[month]);
        station.level[month] = rain_log_level(base[month], station.level[month]);
    }
    station.site.regime = rain_regime(base);
}

/// The misfits of the sixteen stations around each against their own neighbours: the level that two
/// thirds of them are below, so that a few faulty stations do not matter.
void set_misfits_around(std::vector<StationWitnesses>& witnesses,
                        std::vector<ResidualStation> stations) {
    constexpr std::size_t kAround = 16;
    if (stations.size() <= kAround) return;
    std::vector<LatLon> positions;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        convert_to_logarithms(stations[i], witnesses[i].of_background);
        positions.push_back(stations[i].site.position);
    }
    const auto nearest = nearest_stations(positions, kAround);
    const ResidualField field(std::move(stations), kriging_model(Driver::rain_root));
    std::vector<double> size;
    for (const Monthly<double>& misfit : field.left_out_misfits()) {
        size.push_back(0.0);
        for (const double month : misfit) size.back() += std::abs(month) / kMonths;
    }
    for (std::size_t i = 0; i < witnesses.size(); ++i) {
        std::vector<double> around;
        for (const std::size_t other : nearest[i]) around.push_back(size[other]);
        witnesses[i].neighbour_misfit = quantile(std::move(around), 2.0 / 3.0);
    }
}

}  // namespace

bool goes_with_temperature(Driver driver) {
    return driver == Driver::humidity || driver == Driver::log_wind || driver == Driver::clearness;
}

double error_level(Driver driver, double value) {
    return driver == Driver::rain_root ? std::sqrt(0.1 + std::max(value, 0.0)) : 1.0;
}

DriverEstimator::DriverEstimator(Driver driver, const std::vector<DriverAtStation>& stations,
                                 bool has_grid, const DriverRejection& on_rejection,
                                 const std::atomic<bool>* interrupted)
    : driver_(driver) {
    if (!has_grid) {
        std::vector<TrendStation> of_trend;
        for (const DriverAtStation& station : stations)
            of_trend.push_back({station.site.position, station.site.elevation_m, station.own});
        trend_.emplace(of_trend);
    }
    std::vector<ResidualTriple> triples;
    std::vector<bool> is_typical;
    std::vector<ResidualStation> residuals;
    std::vector<StationWitnesses> witnesses;
    for (const DriverAtStation& station : stations) {
        const Monthly<double> base = background_at(station.site, station.background);
        ResidualStation residual{station.site, {}, {}, station.noise, station.place};
        for (std::size_t month = 0; month < kMonths; ++month) {
            residual.residual[month] = station.own[month] - base[month];
            residual.level[month] = error_level(driver, base[month]);
        }
        if (!all_finite(residual.residual)) continue;
        triples.push_back({station.site.position, residual.residual,
                           station.mean_temperature_residual, station.temperature_range_residual});
        witnesses.push_back({station.own, station.own, base, station.site.relief_m});
        residuals.push_back(std::move(residual));
        is_typical.push_back(station.is_typical_year);
        places_.push_back(station.place);
    }
    if (residuals.empty()) return;
    if (!goes_with_temperature(driver))
        typical_offset_ = typical_offset_taken_off(residuals, is_typical, usual_model(driver));
    if (goes_with_temperature(driver)) {
        slopes_ = temperature_slopes(triples);
        for (std::size_t i = 0; i < residuals.size(); ++i) {
            const Monthly<double> part =
                from_temperature(triples[i].mean_temperature, triples[i].temperature_range);
            for (std::size_t month = 0; month < kMonths; ++month)
                residuals[i].residual[month] -= part[month];
        }
    }
    if (driver == Driver::rain_root) set_misfits_around(witnesses, residuals);
    const auto with_neighbours = [&witnesses](std::size_t station, const Monthly<double>& misfit) {
        StationWitnesses of_station = witnesses[station];
        for (std::size_t month = 0; month < kMonths; ++month)
            of_station.of_neighbours[month] -= misfit[month];
        return of_station;
    };
    std::vector<bool> is_out(residuals.size(), false);
    for (const NeighbourSuspect& suspect : neighbour_suspects(
             residuals, usual_model(driver), neighbour_threshold(driver),
             [&](std::size_t station, const Monthly<double>&misfit) {
                 return plausibility_of(driver, with_neighbours(station, misfit));
             },
             interrupted)) {
        const StationWitnesses found = with_neighbours(suspect.station, suspect.misfit);
        if (suspect.is_kept) {
            residuals[suspect.station].noise *= kNoiseOfExtremes;
        } else {
            is_out[suspect.station] = true;
        }
        if (on_rejection) {
            on_rejection(
                places_[suspect.station],
                {year_as_read(driver, found.own), year_as_read(driver, found.of_neighbours),
                 year_as_read(driver, found.of_background), suspect.nearest_km,
                 suspect.yearly_misfit, suspect.is_kept});
        }
    }
    std::vector<ResidualStation> sound;
    std::vector<std::size_t> sound_places;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        if (is_out[i]) continue;
        if (driver == Driver::rain_root)
            convert_to_logarithms(residuals[i], witnesses[i].of_background);
        sound.push_back(std::move(residuals[i]));
        sound_places.push_back(places_[i]);
    }
    places_ = std::move(sound_places);
    CovarianceModel model = (goes_with_temperature(driver)
                                 ? kriging_model(driver)
                                 : fitted_covariance(sound, kriging_model(driver), interrupted));
    model.usual_variance = usual_variance(driver);
    // After the fit: the covariance keeps its long part, which is better where a country is left
    // out.
    if (driver == Driver::mean_temperature || driver == Driver::temperature_range) {
        overall_difference_ = overall_difference(sound);
        for (ResidualStation& station : sound) {
            for (std::size_t month = 0; month < kMonths; ++month)
                station.residual[month] -= overall_difference_[month];
        }
    }
    field_.emplace(std::move(sound), model);
    error_factor_ = left_out_error_factor(*field_);
}

Monthly<double> DriverEstimator::background_at(const ResidualSite& site,
                                               const Monthly<double>& grid_background) const {
    return trend_ ? trend_->at(site.position, site.elevation_m) : grid_background;
}

Monthly<double> DriverEstimator::from_temperature(const Monthly<double>& mean_residual,
                                                  const Monthly<double>& range_residual) const {
    Monthly<double> part{};
    for (std::size_t month = 0; slopes_ && month < kMonths; ++month) {
        const double sum = slopes_->of_mean[month] * mean_residual[month] +
                           slopes_->of_range[month] * range_residual[month];
        if (std::isfinite(sum)) part[month] = sum;
    }
    return part;
}

std::optional<DriverEstimate> DriverEstimator::at(const ResidualSite& site,
                                                  const Monthly<double>& grid_background,
                                                  const Monthly<double>& mean_temperature_residual,
                                                  const Monthly<double>& temperature_range_residual,
                                                  const std::optional<LeftOut>& left_out) const {
    if (!field_) return std::nullopt;
    const Monthly<double> base = background_at(site, grid_background);
    if (std::all_of(base.begin(), base.end(), [](double v) { return std::isnan(v); }))
        return std::nullopt;
    ResidualSite of_regime = site;
    if (driver_ == Driver::rain_root) of_regime.regime = rain_regime(base);
    const auto residual = field_->at(of_regime, left_out);
    if (!residual) return std::nullopt;
    const Monthly<double> part =
        from_temperature(mean_temperature_residual, temperature_range_residual);
    DriverEstimate estimate;
    estimate.nearest_km = residual->nearest_km;
    estimate.fading = residual->fading;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double correction = overall_difference_[month] + residual->correction[month];
        estimate.value[month] =
            driver_ == Driver::rain_root
                ? rain_root_of_log(rain_log_of_root(base[month]) + correction)
                : clamped_to_possible(driver_, base[month] + part[month] + correction);
        estimate.standard_error[month] = residual->standard_error[month] * error_factor_ *
                                         error_level(driver_, estimate.value[month]);
    }
    return estimate;
}

}  // namespace thirstline
