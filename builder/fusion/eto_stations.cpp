#include "builder/fusion/eto_stations.hpp"

#include <algorithm>
#include <cmath>

#include "builder/fusion/covariance_fit.hpp"
#include "builder/fusion/left_out_errors.hpp"
#include "builder/fusion/neighbour_check.hpp"

namespace thirstline {

namespace {

// In a month without ETo the logarithm of a ratio is meaningless.
constexpr double kSoftening = 0.1;
constexpr double kNeighbourThreshold = 6.0;

/// As found for the ranges of the drivers overall: after temperatures, humidity, wind and sunshine
/// are accounted for, the rest of ETo varies like humidity and wind. The usual variance is that of
/// ETo estimated at US sites: an error of about one tenth.
CovarianceModel usual_model() {
    CovarianceModel model{400, 1.5, 1e9, 0.2, 0.01, 1.0, 200, 0.0, 0.0, false};
    model.usual_variance = 0.006;
    return model;
}

}  // namespace

EtoStations::EtoStations(const std::vector<EtoAtStation>& stations,
                         const EtoRejection& on_rejection, const std::atomic<bool>* interrupted) {
    std::vector<ResidualStation> residuals;
    for (const EtoAtStation& station : stations) {
        ResidualStation residual;
        residual.site = station.site;
        residual.noise = station.noise;
        residual.number = station.place;
        for (std::size_t month = 0; month < kMonths; ++month) {
            residual.residual[month] =
                std::log((std::max(station.reported_mm_per_day[month], 0.0) + kSoftening) /
                         (std::max(station.computed_mm_per_day[month], 0.0) + kSoftening));
        }
        const bool is_known = std::all_of(residual.residual.begin(), residual.residual.end(),
                                          [](double v) { return std::isfinite(v); });
        if (is_known) residuals.push_back(std::move(residual));
    }
    std::vector<bool> is_out(residuals.size(), false);
    for (const NeighbourSuspect& suspect :
         neighbour_suspects(residuals, usual_model(), kNeighbourThreshold, nullptr, interrupted)) {
        is_out[suspect.station] = true;
        if (on_rejection)
            on_rejection(residuals[suspect.station].number, std::expm1(suspect.yearly_misfit));
    }
    std::vector<ResidualStation> sound;
    for (std::size_t i = 0; i < residuals.size(); ++i)
        if (!is_out[i]) sound.push_back(std::move(residuals[i]));
    if (sound.empty()) return;
    const CovarianceModel model = fitted_covariance(sound, usual_model(), interrupted);
    field_.emplace(std::move(sound), model);
    error_factor_ = left_out_error_factor(*field_);
}

EtoStations::Moved EtoStations::moved(const ResidualSite& site,
                                      const Monthly<double>& eto_mm_per_day,
                                      const Monthly<double>& se_mm_per_day,
                                      const std::optional<LeftOut>& left_out) const {
    Moved moved{eto_mm_per_day, se_mm_per_day, 0.0};
    if (!field_) return moved;
    const auto estimate = field_->at(site, left_out);
    if (!estimate) return moved;
    moved.fading = estimate->fading;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double softened = std::max(eto_mm_per_day[month], 0.0) + kSoftening;
        const double eto = softened * std::exp(estimate->correction[month]);
        moved.eto_mm_per_day[month] = std::max(eto - kSoftening, 0.0);
        const double of_stations = eto * estimate->standard_error[month] * error_factor_;
        const double of_drivers = se_mm_per_day[month];
        const double near = estimate->fading;
        moved.se_mm_per_day[month] = std::isnan(of_drivers)
                                         ? of_stations
                                         : std::sqrt(near * of_stations * of_stations +
                                                     (1.0 - near) * of_drivers * of_drivers);
    }
    return moved;
}

}  // namespace thirstline
