// Climates for the tests: an invented valley with all measurements, and random ones.
#pragma once

#include <cmath>
#include <random>

#include "builder/reference_et/monthly_reference_et.hpp"

namespace thirstline {

inline constexpr EtOptions kAsMeasured{ReferenceSurface::short_reference, false};

/// The floor of the invented Merrow valley: dry summers, wet mild winters, everything known.
inline PointClimate merrow_valley() {
    PointClimate point;
    point.position = {38.5, -121.0};
    point.elevation_m = 120.0;
    point.tmax_c = {12.5, 15.5, 18.5, 22.5, 27.5, 32.0, 34.5, 34.0, 31.0, 25.5, 17.5, 12.5};
    point.tmin_c = {3.5, 5.0, 6.5, 8.0, 11.0, 14.0, 15.5, 15.0, 13.0, 9.5, 5.5, 3.0};
    point.dew_point_c = {3.0, 4.0, 5.0, 5.5, 7.5, 9.0, 10.0, 9.5, 8.0, 6.0, 4.0, 3.0};
    point.rain_mm = {95, 90, 70, 30, 15, 4, 0, 1, 6, 25, 55, 90};
    point.cloud_fraction = {0.65, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1, 0.1, 0.15, 0.3, 0.5, 0.65};
    const MonthlySun sun = monthly_sun(point.position.lat_deg);
    for (int month = 0; month < kMonths; ++month) {
        point.vapour_pressure_kpa[month] = 0.6108 * std::exp(17.27 * point.dew_point_c[month] /
                                                             (point.dew_point_c[month] + 237.3));
        point.relative_humidity_percent[month] = 60.0;
        point.u2_m_per_s[month] = 2.4;
        point.sunshine_fraction[month] = 1.0 - point.cloud_fraction[month];
        point.sunshine_hours_per_day[month] =
            point.sunshine_fraction[month] * sun.daylight_hours[month];
        point.rs_mj_m2_day[month] =
            (0.25 + 0.5 * point.sunshine_fraction[month]) * sun.ra_mj_m2_day[month];
    }
    return point;
}

inline Surroundings merrow_hills() {
    Surroundings around;
    around.dew_point_depression_c.fill(3.0);
    around.u2_m_per_s.fill(1.7);
    around.radiation_coefficient.fill(0.165);
    around.penman_monteith_to_hargreaves.fill(0.95);
    return around;
}

/// Uniform on [low, high); the same on every platform.
class Dice {
  public:
    explicit Dice(unsigned seed) : engine_(seed) {}
    double between(double low, double high) {
        return low + (high - low) * static_cast<double>(engine_()) / 4294967296.0;
    }
    int below(int count) { return static_cast<int>(between(0.0, count)); }

  private:
    std::mt19937 engine_;
};

/// Anything from polar to desert, with everything known.
inline PointClimate random_climate(Dice& dice) {
    PointClimate point;
    point.position = {dice.between(-90.0, 90.0), dice.between(-180.0, 180.0)};
    point.elevation_m = dice.between(-400.0, 5000.0);
    point.coastal = dice.below(2) == 1;
    const MonthlySun sun = monthly_sun(point.position.lat_deg);
    const double mean = dice.between(-25.0, 32.0);
    const double swing = dice.between(0.0, 20.0);
    for (int month = 0; month < kMonths; ++month) {
        const double season = std::cos((month - 6) * 3.14159265358979 / 6.0) *
                              (point.position.lat_deg < 0.0 ? -1.0 : 1.0);
        const double tmean = mean + swing * season;
        const double range = dice.between(2.0, 20.0);
        point.tmax_c[month] = tmean + range / 2.0;
        point.tmin_c[month] = tmean - range / 2.0;
        point.dew_point_c[month] = point.tmin_c[month] - dice.between(-3.0, 20.0);
        point.vapour_pressure_kpa[month] = 0.6108 * std::exp(17.27 * point.dew_point_c[month] /
                                                             (point.dew_point_c[month] + 237.3));
        point.relative_humidity_percent[month] = dice.between(5.0, 100.0);
        point.u2_m_per_s[month] = dice.between(0.0, 12.0);
        point.rain_mm[month] = dice.below(4) == 0 ? 0.0 : dice.between(0.0, 300.0);
        point.cloud_fraction[month] = dice.between(0.0, 1.0);
        point.sunshine_fraction[month] = dice.between(0.0, 1.0);
        point.sunshine_hours_per_day[month] =
            point.sunshine_fraction[month] * sun.daylight_hours[month];
        point.rs_mj_m2_day[month] =
            (0.25 + 0.5 * point.sunshine_fraction[month]) * sun.ra_mj_m2_day[month];
    }
    return point;
}

}  // namespace thirstline
