#include "builder/fusion/drivers.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::every_month;
using test::mild_climate;
using test::SeededRandom;

constexpr std::array<Driver, kDrivers> kAll{Driver::mean_temperature, Driver::temperature_range,
                                            Driver::humidity,         Driver::log_wind,
                                            Driver::clearness,        Driver::rain_root};

void expect_near(const Monthly<double>& a, const Monthly<double>& b) {
    for (std::size_t month = 0; month < kMonths; ++month) EXPECT_NEAR(a[month], b[month], 1e-9);
}

TEST(Drivers, ComeBackAsTheClimateTheyWereTakenFrom) {
    const PointClimate climate = mild_climate({45.0, 8.0}, 300.0);
    const MonthlySun sun = monthly_sun(45.0);
    PointClimate again;
    again.position = climate.position;
    set_drivers(again, drivers_of(climate, sun), sun);
    expect_near(again.tmax_c, climate.tmax_c);
    expect_near(again.tmin_c, climate.tmin_c);
    expect_near(again.vapour_pressure_kpa, climate.vapour_pressure_kpa);
    expect_near(again.u2_m_per_s, climate.u2_m_per_s);
    expect_near(again.rs_mj_m2_day, climate.rs_mj_m2_day);
    expect_near(again.rain_mm, climate.rain_mm);
}

TEST(Drivers, AreWhatTheyAreCalled) {
    PointClimate climate = mild_climate({45.0, 8.0}, 300.0);
    climate.tmax_c[6] = 30.0;
    climate.tmin_c[6] = 16.0;
    climate.vapour_pressure_kpa[6] = 1.5;
    climate.rain_mm[6] = 62.0;
    const MonthlySun sun = monthly_sun(45.0);
    const DriverYear drivers = drivers_of(climate, sun);
    EXPECT_DOUBLE_EQ(of(drivers, Driver::mean_temperature)[6], 23.0);
    EXPECT_DOUBLE_EQ(of(drivers, Driver::temperature_range)[6], 14.0);
    // e°(23) = 2.809 kPa: FAO-56 table 2.3 (from memory; recomputed by its eq. 11).
    EXPECT_NEAR(of(drivers, Driver::humidity)[6], 1.5 / 2.809, 1e-3);
    EXPECT_DOUBLE_EQ(of(drivers, Driver::log_wind)[6], std::log(2.0));
    EXPECT_NEAR(of(drivers, Driver::clearness)[6], 0.5, 1e-12);
    EXPECT_DOUBLE_EQ(of(drivers, Driver::rain_root)[6], std::sqrt(2.0));
}

/// Other variables say the same, each in its own words.
TEST(Drivers, AreTakenFromTheBestThatIsKnown) {
    const PointClimate best = mild_climate({45.0, 8.0}, 300.0);
    const MonthlySun sun = monthly_sun(45.0);
    const DriverYear wanted = drivers_of(best, sun);
    PointClimate other = best;
    other.vapour_pressure_kpa = other.rs_mj_m2_day = kUnknownYear;
    for (std::size_t month = 0; month < kMonths; ++month) {
        other.dew_point_c[month] = best.tmin_c[month] - 3.0;
        other.sunshine_hours_per_day[month] = 0.5 * sun.daylight_hours[month];  // eq. 35: Rs/Ra 0.5
    }
    DriverYear found = drivers_of(other, sun);
    expect_near(of(found, Driver::humidity), of(wanted, Driver::humidity));
    expect_near(of(found, Driver::clearness), of(wanted, Driver::clearness));
    other.dew_point_c = other.sunshine_hours_per_day = kUnknownYear;
    other.relative_humidity_percent = every_month(55.0);
    other.sunshine_fraction = every_month(0.5);
    found = drivers_of(other, sun);
    expect_near(of(found, Driver::humidity), every_month(0.55));
    expect_near(of(found, Driver::clearness), of(wanted, Driver::clearness));
}

TEST(Drivers, OfWhatIsUnknownAreUnknown) {
    PointClimate climate = mild_climate({45.0, 8.0}, 300.0);
    climate.tmin_c[2] = climate.u2_m_per_s[3] = climate.rain_mm[4] = kUnknown;
    climate.rs_mj_m2_day[5] = climate.vapour_pressure_kpa[6] = kUnknown;
    const MonthlySun sun = monthly_sun(45.0);
    const DriverYear drivers = drivers_of(climate, sun);
    EXPECT_TRUE(std::isnan(of(drivers, Driver::mean_temperature)[2]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::temperature_range)[2]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::log_wind)[3]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::rain_root)[4]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::clearness)[5]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::humidity)[6]));
    // And put back they change nothing.
    PointClimate kept = mild_climate({45.0, 8.0}, 300.0);
    DriverYear nothing;
    nothing.fill(kUnknownYear);
    set_drivers(kept, nothing, sun);
    EXPECT_EQ(kept.tmax_c, mild_climate({45.0, 8.0}, 300.0).tmax_c);
    EXPECT_EQ(kept.rain_mm, mild_climate({45.0, 8.0}, 300.0).rain_mm);
}

TEST(Drivers, GiveAPossibleClimateWhateverIsEstimated) {
    SeededRandom random(71);
    const MonthlySun sun = monthly_sun(64.0);
    for (int trial = 0; trial < 2000; ++trial) {
        DriverYear drivers;
        for (const Driver driver : kAll)
            for (double& value : of(drivers, driver))
                value = clamped_to_possible(driver, 10.0 * random.normal());
        PointClimate climate;
        climate.position = {64.0, 8.0};
        set_drivers(climate, drivers, sun);
        for (std::size_t month = 0; month < kMonths; ++month) {
            ASSERT_GT(climate.tmax_c[month], climate.tmin_c[month]);
            const double mean = (climate.tmax_c[month] + climate.tmin_c[month]) / 2.0;
            ASSERT_GT(climate.vapour_pressure_kpa[month], 0.0);
            ASSERT_LE(climate.vapour_pressure_kpa[month],
                      saturation_vapour_pressure_kpa(mean) * (1.0 + 1e-12));
            ASSERT_GT(climate.u2_m_per_s[month], 0.0);
            ASSERT_GE(climate.rs_mj_m2_day[month], 0.0);
            ASSERT_LE(climate.rs_mj_m2_day[month], sun.ra_mj_m2_day[month]);
            ASSERT_GE(climate.rain_mm[month], 0.0);
        }
    }
}

TEST(Drivers, KnowNoClearnessInThePolarNight) {
    const LatLon north{78.0, 16.0};
    const MonthlySun sun = monthly_sun(north.lat_deg);
    PointClimate climate = mild_climate(north, 10.0);
    const DriverYear drivers = drivers_of(climate, sun);
    EXPECT_TRUE(std::isnan(of(drivers, Driver::clearness)[0]));
    EXPECT_TRUE(std::isnan(of(drivers, Driver::clearness)[11]));
    EXPECT_NEAR(of(drivers, Driver::clearness)[6], 0.5, 1e-12);
    const PointClimate before = climate;
    set_drivers(climate, drivers, sun);
    expect_near(climate.rs_mj_m2_day, before.rs_mj_m2_day);
    for (const double rs : climate.rs_mj_m2_day) EXPECT_GE(rs, 0.0);
}

}  // namespace
}  // namespace thirstline
