// What the stations say that the background does not: the residuals of one driver, carried to any
// place by simple kriging towards zero, with a standard error.
//
// Covariance of two places, relative to the short-range sill:
//     exp(−d/short − |Δz|/vertical − |Δρ|/relief − |Δr|/regime) + (long + slope·δ·δ')·exp(−d/1000
//     km)
// with d the chord between them, z their elevation, ρ = ln(1 + relief/50 m) of the background's
// cells there, |Δr| how much their regimes differ in the mean of the months, and δ how far each
// lies above those cells. The first term is the local difference; the second the change from the
// background's period to the stations', and a lapse rate that differs from the one assumed: one
// covariance does the work of a change field and of what is left after it. A station's own noise is
// the nugget. The months share one matrix. (Tried on 4,000 stations: Matérn for exponential, a
// covariance for each season, and a change field of its own each did worse.)
//
// The correction is multiplied by g = floor + (1 − floor)·exp(−(d₁/D)²), d₁ the distance to the
// nearest station: carried undiminished it harms where a whole country's stations are missing.
//
// The error's scale is local. At each station the squared misfit of its own left-out estimate over
// what the model expects is taken, held to twelve times its robust mean; around a place the mean
// over sixteen stations, smoothed over neighbouring months, scales the variance. Where there are
// few stations what is usual counts with them.
//
// Thread safety: any number of threads may ask, while none calls use_model.
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
    double relief_range = 1e9;  ///< of ρ; a great number: relief plays no part
    double long_sill = 0.2;
    double slope_sill = 0.0;  ///< a km²
    double nugget = 0.6;      ///< held to 1e-9 at least: stations may share a place
    // Not fitted:
    double fading_km = 200.0;
    double fading_floor = 0.0;
    double relief_power = 0.0;  ///< the standard deviation grows as (1 + relief/100 m)^power
    /// The correction that was faded away counts as error: where it is a change of period, it is
    /// one.
    bool faded_part_is_error = false;
    /// Variance of the short-range sill to be expected, at a level of 1; counts as five stations,
    /// so that a few that happen to agree do not make an error of nothing. 0: not known.
    double usual_variance = 0.0;
    double regime_range = 1e9;  ///< of r; a great number: regimes play no part
};

/// A place as the covariance sees it.
struct ResidualSite {
    LatLon position;
    double elevation_m = 0.0;
    double above_cells_m = 0.0;  ///< elevation less that of the background's cells
    double relief_m = 0.0;       ///< within the background's cells
    Monthly<double> regime{};    ///< r, of the background: places of one regime have more in common
};

struct ResidualStation {
    ResidualSite site;
    Monthly<double> residual{};                                 ///< known in every month
    Monthly<double> level{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};  ///< the error grows with it
    double noise = 1.0;      ///< factor on the nugget: above 1 for a short record
    std::size_t number = 0;  ///< the caller's, by which it can be left out
};

struct ResidualEstimate {
    Monthly<double> correction{};      ///< to be added to the background
    Monthly<double> standard_error{};  ///< for a level of 1
    double nearest_km = 0.0;
    double fading = 1.0;  ///< g
};

/// The same site in another source is left out with a station that lies so near.
inline constexpr double kSameSiteKm = 15.0;

/// Stations that say nothing, for left-out scores.
struct LeftOut {
    LatLon position;
    double km = 0.0;                              ///< those within this distance of the position
    const std::vector<bool>* stations = nullptr;  ///< and these, by their number; may be null
};

class ResidualField {
  public:
    /// Without `local_scale` the standard errors are not scaled, and there are no misfits: quicker,
    /// for who wants the corrections only.
    ResidualField(std::vector<ResidualStation> stations, const CovarianceModel& model,
                  bool local_scale = true);
    ~ResidualField();
    ResidualField(ResidualField&&) noexcept;
    ResidualField& operator=(ResidualField&&) noexcept;

    /// From now on under another covariance. Only for a field without a local scale.
    void use_model(const CovarianceModel& model);

    /// Nothing where there is no station to speak.
    [[nodiscard]] std::optional<ResidualEstimate> at(
        const ResidualSite& site, const std::optional<LeftOut>& left_out = std::nullopt) const;

    [[nodiscard]] const CovarianceModel& model() const;
    [[nodiscard]] const std::vector<ResidualStation>& stations() const;

    /// Residual less its left-out estimate, by station and month.
    [[nodiscard]] const std::vector<Monthly<double>>& left_out_misfits() const;
    /// Expected standard deviation of the year's mean misfit, by station, without the local scale.
    [[nodiscard]] std::vector<double> expected_deviations() const;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace thirstline
