// Stations as input of fusion: each with its own drivers, and the values of the grids at its place
// and elevation.
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
    bool is_typical_year = false;  ///< whether its temperatures are from months chosen as typical
    /// Factor on the nugget, by Driver and for the reported ETo: above 1 for a short record.
    std::array<double, kDrivers> noise{1.0, 1.0, 1.0, 1.0, 1.0, 1.0};
    double eto_noise = 1.0;
};

/// Station variables that give the driver, the best first.
[[nodiscard]] std::vector<Variable> variables_behind(Driver driver);

/// Noise of a normal of fewer years relative to one of thirty, as a factor on the nugget: 1 + 15
/// (1/N − 1/30), N limited to 2 to 30. Weather differs from year to year by about 1.5 °C in a
/// month's mean temperature and by half a month's rain (common knowledge, no single source); the
/// error of a mean of ten years is then about as large as the usual difference between stations, in
/// addition. A short record without a number of years is treated as fifteen.
[[nodiscard]] double record_noise(RecordLength length, double years);

/// The place with the variables of the covariance: height above, and relief of, the cells of the
/// first grid with known terrain.
[[nodiscard]] ResidualSite residual_site(const PlaceInputs& place, LatLon position,
                                         double elevation_m);

/// The climate from a station's normals only.
[[nodiscard]] PointClimate climate_of(const Station& station, double elevation_m);

/// `inputs` are the values of the grids at each station (survey.hpp). The elevation of a station
/// without one is that of the terrain; a station whose terrain is unknown too is left out.
[[nodiscard]] std::vector<StationPlace> station_places(std::span<const Station> stations,
                                                       std::span<const PlaceInputs> inputs);

}  // namespace thirstline
