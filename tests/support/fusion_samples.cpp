#include "tests/support/fusion_samples.hpp"

#include <cmath>
#include <numbers>

#include "builder/reference_et/air.hpp"

namespace thirstline::test {

double SeededRandom::normal() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));
    return radius * std::cos(2.0 * std::numbers::pi * uniform());
}

std::vector<ResidualStation> scattered_stations(std::size_t count, StationBox box,
                                                SeededRandom& random) {
    std::vector<ResidualStation> stations(count);
    for (std::size_t i = 0; i < count; ++i) {
        ResidualSite& site = stations[i].site;
        site.position.lat_deg = random.uniform(box.south, box.north);
        site.position.lon_deg = random.uniform(box.west, box.east);
        site.elevation_m = random.uniform(0.0, 2000.0);
        site.above_cells_m = random.uniform(-300.0, 300.0);
        site.relief_m = random.uniform(0.0, 400.0);
        stations[i].number = i;
    }
    return stations;
}

double covariance_by_hand(const CovarianceModel& model, const ResidualSite& a,
                          const ResidualSite& b) {
    const double arc = great_circle_km(a.position, b.position) / 6371.0088;
    const double chord_km = 2.0 * 6371.0088 * std::sin(arc / 2.0);
    const double height_km = std::abs(a.elevation_m - b.elevation_m) / 1000.0;
    const double relief = std::abs(std::log((1.0 + a.relief_m / 50.0) / (1.0 + b.relief_m / 50.0)));
    const double slope = model.slope_sill * a.above_cells_m * b.above_cells_m / 1e6;
    return std::exp(-chord_km / model.short_range_km) *
               std::exp(-height_km / model.vertical_range_km) *
               std::exp(-relief / model.relief_range) +
           (model.long_sill + slope) * std::exp(-chord_km / 1000.0);
}

void draw_residuals(std::vector<ResidualStation>& stations, const CovarianceModel& model,
                    SeededRandom& random) {
    const auto count = static_cast<Eigen::Index>(stations.size());
    Eigen::MatrixXd matrix(count, count);
    for (Eigen::Index i = 0; i < count; ++i) {
        for (Eigen::Index j = 0; j < count; ++j) {
            matrix(i, j) = covariance_by_hand(model, stations[static_cast<std::size_t>(i)].site,
                                              stations[static_cast<std::size_t>(j)].site);
        }
        matrix(i, i) += model.nugget * stations[static_cast<std::size_t>(i)].noise;
    }
    const Eigen::MatrixXd root = matrix.llt().matrixL();
    for (std::size_t month = 0; month < kMonths; ++month) {
        Eigen::VectorXd normals(count);
        for (Eigen::Index i = 0; i < count; ++i) normals(i) = random.normal();
        const Eigen::VectorXd field = root * normals;
        for (Eigen::Index i = 0; i < count; ++i) {
            ResidualStation& station = stations[static_cast<std::size_t>(i)];
            const double factor = std::pow(1.0 + station.site.relief_m / 100.0, model.relief_power);
            station.residual[month] = field(i) * factor * station.level[month];
        }
    }
}

PointClimate mild_climate(LatLon position, double elevation_m) {
    PointClimate climate;
    climate.position = position;
    climate.elevation_m = elevation_m;
    const MonthlySun sun = monthly_sun(position.lat_deg);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double season =
            -std::cos(2.0 * std::numbers::pi * static_cast<double>(month) / kMonths);
        climate.tmax_c[month] = 21.0 + 8.0 * season;
        climate.tmin_c[month] = 10.0 + 6.0 * season;
        climate.vapour_pressure_kpa[month] =
            saturation_vapour_pressure_kpa(climate.tmin_c[month] - 3.0);
        climate.u2_m_per_s[month] = 2.0;
        climate.rs_mj_m2_day[month] = 0.5 * sun.ra_mj_m2_day[month];
        climate.rain_mm[month] = 60.0 - 20.0 * season;
    }
    return climate;
}

StationPlace place_like_its_grids(std::size_t number, LatLon position, double elevation_m) {
    StationPlace place;
    place.station = number;
    place.site.position = position;
    place.site.elevation_m = elevation_m;
    place.sun = monthly_sun(position.lat_deg);
    place.own = mild_climate(position, elevation_m);
    place.of_grids = place.own;
    place.own_drivers = drivers_of(place.own, place.sun);
    place.grid_drivers = place.own_drivers;
    return place;
}

std::vector<StationPlace> scattered_places(std::size_t count, StationBox box,
                                           SeededRandom& random) {
    std::vector<StationPlace> places;
    for (const ResidualStation& station : scattered_stations(count, box, random)) {
        places.push_back(
            place_like_its_grids(places.size(), station.site.position, station.site.elevation_m));
        places.back().site = station.site;
    }
    return places;
}

void shift_own(StationPlace& place, Driver driver, double by) {
    for (double& value : of(place.own_drivers, driver)) value += by;
}

void own_from_drivers(StationPlace& place) {
    for (const Driver driver :
         {Driver::mean_temperature, Driver::temperature_range, Driver::humidity, Driver::log_wind,
          Driver::clearness, Driver::rain_root}) {
        for (double& value : of(place.own_drivers, driver))
            value = clamped_to_possible(driver, value);
    }
    set_drivers(place.own, place.own_drivers, place.sun);
}

Monthly<double> every_month(double value) {
    Monthly<double> year{};
    year.fill(value);
    return year;
}

}  // namespace thirstline::test
