// Stations as fusion sees them: each with its own drivers, and what the grids say at its place and
// elevation.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "builder/background/point_assembly.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/drivers.hpp"
#include "builder/fusion/residual_field.hpp"
#include "builder/stations/station.hpp"

namespace thirstline {

struct StationPlace {
    std::size_t station = 0;  ///< index into the stations given
    ResidualSite site;
    MonthlySun sun;
    PointClimate own;       ///< of the station's normals, at its elevation
    PointClimate of_grids;  ///< the background there
    DriverYear own_drivers{};
    DriverYear grid_drivers{};
    Monthly<double> reported_eto_mm_per_day = kUnknownYear;
    bool is_typical_year = false;  ///< are its temperatures of months chosen as typical?
    /// Factor on the nugget, by Driver and for the reported ETo: above 1 for a short record.
    std::array<double, kDrivers> noise{1.0, 1.0, 1.0, 1.0, 1.0, 1.0};
    double eto_noise = 1.0;
};

/// What stations measure that tells the driver, the best first.
[[nodiscard]] std::vector<Variable> variables_behind(Driver driver);

/// How much noisier a normal of fewer years is than one of thirty, as a factor on the nugget:
/// 1 + 15 (1/N − 1/30), N held to 2 to 30. Weather differs from year to year by some 1.5 °C in a
/// month's mean temperature and by half a month's rain (common knowledge, no single source); a mean
/// of ten years then errs about as much again as what stations differ by anyway. A short record
/// that tells no years counts as fifteen.
[[nodiscard]] double record_noise(RecordLength length, double years);

/// The place as the covariance sees it: height above, and relief of, the cells of the first grid
/// whose ground is known.
[[nodiscard]] ResidualSite residual_site(const PlaceInputs& place, LatLon position,
                                         double elevation_m);

/// The climate that a station's normals tell, nothing else in it.
[[nodiscard]] PointClimate climate_of(const Station& station, double elevation_m);

/// `inputs` are what the grids say at each station (survey.hpp). A station without elevation stands
/// on the terrain; one whose terrain is unknown too is left out.
[[nodiscard]] std::vector<StationPlace> station_places(std::span<const Station> stations,
                                                       std::span<const PlaceInputs> inputs);

}  // namespace thirstline
