// Residuals of one driver at the stations against the background, interpolated to any place by
// simple kriging towards zero, with a standard error.
//
// Covariance of two places, relative to the short-range sill:
//     exp(−d/short − |Δz|/vertical − |Δρ|/relief − |Δr|/regime − |Δl|/coast)
//     + (long + slope·δ·δ')·exp(−d/1000 km)
// with d the chord between them, z their elevation, ρ = ln(1 + relief/50 m) of the background's
// cells there, |Δr| the difference of their regimes in the mean of the months, l the share of land
// around each (land_share.hpp), and δ the height of each above those cells. The first term is the
// local difference; the second the change from the background's period to the stations', and a
// lapse rate different from the one assumed: a single covariance covers both a change field and the
// remaining differences. A station's own noise is the nugget. The months share one matrix. (Tested
// on 4,000 stations: Matérn instead of exponential, a covariance for each season, and a separate
// change field were each worse. The remaining errors of rain do not depend on the terrain: boosted
// regression trees on forty measures of elevation, slope and coast explained none of their variance
// at blocks of 5° that were left out, R² −0.004. Giving stations that differ from their own
// neighbours more noise gained 0.3 % at stations left out of that too.)
//
// The correction is multiplied by g = floor + (1 − floor)·exp(−(d₁/D)²), d₁ the distance to the
// nearest station: without it the correction increases errors where a whole country has no
// stations. (Of temperature the residuals here are what is left of an overall difference, which
// does not fade: driver_estimator.cpp.)
//
// The error's scale is local. At each station the ratio of the squared misfit of its own left-out
// estimate to the model's expectation is limited to twelve times its robust mean; around a place
// the mean over sixteen stations, smoothed over neighbouring months, scales the variance. If there
// are few stations the usual value is included as a prior.
//
// Thread safety: any number of threads may use it, while none calls use_model.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

struct CovarianceModel {
    double short_range_km = 400.0;
    double vertical_range_km = 1.6;
    double relief_range = 1e9;  ///< of ρ; a large number: relief has no effect
    double long_sill = 0.2;
    double slope_sill = 0.0;  ///< per km²
    double nugget = 0.6;      ///< at least 1e-9: stations may share a position
    // Not fitted:
    double fading_km = 200.0;
    double fading_floor = 0.0;
    double relief_power = 0.0;  ///< the standard deviation grows as (1 + relief/100 m)^power
    /// The removed part of a faded correction is counted as error, because it is one if it is a
    /// change of period.
    bool faded_part_is_error = false;
    /// Expected variance of the short-range sill, at a level of 1; has the weight of five stations,
    /// so that a few stations that happen to agree do not give an error of zero. 0: unknown.
    double usual_variance = 0.0;
    double regime_range = 1e9;  ///< of r; a large number: regimes have no effect
    double coast_range = 1e9;   ///< of l; a large number: coasts have no effect
};

/// A place, with the variables of the covariance.
struct ResidualSite {
    LatLon position;
    double elevation_m = 0.0;
    double above_cells_m = 0.0;  ///< elevation minus that of the background's cells
    double relief_m = 0.0;       ///< within the background's cells
    double land_share = 1.0;     ///< l
    Monthly<double> regime{};    ///< r, of the background: places of one regime correlate more
};

struct ResidualStation {
    ResidualSite site;
    Monthly<double> residual{};                                 ///< known in every month
    Monthly<double> level{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};  ///< the error grows with it
    double noise = 1.0;      ///< factor on the nugget: above 1 for a short record
    std::size_t number = 0;  ///< the caller's, for leaving it out
};

struct ResidualEstimate {
    Monthly<double> correction{};      ///< to be added to the background
    Monthly<double> standard_error{};  ///< for a level of 1
    double nearest_km = 0.0;
    double fading = 1.0;  ///< g
};

/// The distance within which stations are left out too: another source may have the same site.
inline constexpr double kSameSiteKm = 15.0;

/// Stations that are not used, for left-out scores.
struct LeftOut {
    LatLon position;
    double km = 0.0;                              ///< those within this distance of the position
    const std::vector<bool>* stations = nullptr;  ///< and these, by their number; may be null
};

class ResidualField {
  public:
    /// Without `local_scale` the standard errors are not scaled, and there are no misfits: faster,
    /// if only the corrections are needed.
    ResidualField(std::vector<ResidualStation> stations, const CovarianceModel& model,
                  bool local_scale = true);
    ~ResidualField();
    ResidualField(ResidualField&&) noexcept;
    ResidualField& operator=(ResidualField&&) noexcept;

    /// Changes the covariance. Only for a field without a local scale.
    void use_model(const CovarianceModel& model);

    /// Nothing if there is no station to use.
    [[nodiscard]] std::optional<ResidualEstimate> at(
        const ResidualSite& site, const std::optional<LeftOut>& left_out = std::nullopt) const;

    [[nodiscard]] const CovarianceModel& model() const;
    [[nodiscard]] const std::vector<ResidualStation>& stations() const;

    /// Residual minus its left-out estimate, by station and month.
    [[nodiscard]] const std::vector<Monthly<double>>& left_out_misfits() const;
    /// Expected standard deviation of the year's mean misfit, by station, without the local scale.
    [[nodiscard]] std::vector<double> expected_deviations() const;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace thirstline
