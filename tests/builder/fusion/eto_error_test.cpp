// The standard error of ETo against brute force, and its parts.
#include "builder/fusion/eto_error.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::every_month;
using test::mild_climate;
using test::SeededRandom;

constexpr LatLon kErrorPlace{42.0, 8.0};
constexpr ReferenceSurface kShortReference = ReferenceSurface::short_reference;
constexpr double kRounding = 0.02;

DriverYear no_errors() {
    DriverYear errors;
    errors.fill(kUnknownYear);
    return errors;
}

Monthly<double> error_of(const PointClimate& climate, const DriverYear& errors,
                         bool site_correction = false, double factor = 1.0) {
    const MonthlySun sun = monthly_sun(climate.position.lat_deg);
    const auto profile = reference_et_profile(climate, sun, {}, {kShortReference, site_correction});
    return eto_standard_error_mm_per_day(climate, errors, sun, {}, kShortReference, profile,
                                         factor);
}

/// Standard deviation of ETo when every driver errs as told, the year as a whole.
Monthly<double> brute_force(const PointClimate& climate, const DriverYear& errors) {
    constexpr int kDraws = 20000;
    const MonthlySun sun = monthly_sun(climate.position.lat_deg);
    const DriverYear drivers = drivers_of(climate, sun);
    SeededRandom random(91);
    Monthly<double> sum{};
    Monthly<double> squares{};
    for (int draw = 0; draw < kDraws; ++draw) {
        DriverYear erring = drivers;
        for (std::size_t d = 0; d < kDrivers; ++d) {
            const double by = random.normal();
            for (std::size_t month = 0; month < kMonths; ++month)
                if (!std::isnan(errors[d][month])) erring[d][month] += by * errors[d][month];
        }
        PointClimate drawn = climate;
        set_drivers(drawn, erring, sun);
        const auto eto =
            reference_et_profile(drawn, sun, {}, {kShortReference, false}).eto_mm_per_day;
        for (std::size_t month = 0; month < kMonths; ++month) {
            sum[month] += eto[month] / kDraws;
            squares[month] += eto[month] * eto[month] / kDraws;
        }
    }
    Monthly<double> deviation{};
    for (std::size_t month = 0; month < kMonths; ++month)
        deviation[month] = std::sqrt(squares[month] - sum[month] * sum[month]);
    return deviation;
}

/// 20,000 draws tell a deviation to 0.5 %; the rest is the curvature that a slope leaves out.
TEST(EtoError, EqualsBruteForce) {
    struct Case {
        Driver driver;
        double error;
    };
    const PointClimate climate = mild_climate(kErrorPlace, 300.0);
    const std::vector<Case> cases = {{Driver::mean_temperature, 0.9},
                                     {Driver::temperature_range, 1.3},
                                     {Driver::humidity, 0.05},
                                     {Driver::log_wind, 0.25},
                                     {Driver::clearness, 0.03}};
    DriverYear all = no_errors();
    for (const Case& c : cases) {
        DriverYear one = no_errors();
        of(one, c.driver) = of(all, c.driver) = every_month(c.error);
        const Monthly<double> expected = brute_force(climate, one);
        const Monthly<double> error = error_of(climate, one);
        for (std::size_t month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(std::sqrt(error[month] * error[month] - kRounding * kRounding),
                        expected[month], 0.05 * expected[month] + 0.001)
                << driver_name(c.driver) << " " << month;
        }
    }
    const Monthly<double> expected = brute_force(climate, all);
    const Monthly<double> error = error_of(climate, all);
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(error[month], std::hypot(expected[month], kRounding), 0.05 * expected[month]);
}

TEST(EtoError, GrowsWithTheFactorOfLeftOutStations) {
    DriverYear errors = no_errors();
    of(errors, Driver::log_wind) = every_month(0.3);
    const PointClimate climate = mild_climate(kErrorPlace, 300.0);
    const Monthly<double> plain = error_of(climate, errors);
    const Monthly<double> wider = error_of(climate, errors, false, 1.24);
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(wider[month], 1.24 * plain[month], 1e-12);
}

TEST(EtoError, HoldsHalfOfTheSiteCorrection) {
    PointClimate arid = mild_climate(kErrorPlace, 300.0);
    arid.rain_mm = every_month(2.0);
    for (std::size_t month = 0; month < kMonths; ++month) arid.vapour_pressure_kpa[month] *= 0.6;
    const auto profile =
        reference_et_profile(arid, monthly_sun(kErrorPlace.lat_deg), {}, {kShortReference, true});
    DriverYear errors = no_errors();
    of(errors, Driver::log_wind) = every_month(0.3);
    const Monthly<double> without = error_of(arid, errors, false, 1.5);
    const Monthly<double> with = error_of(arid, errors, true, 1.5);
    double greatest = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double half =
            (profile.eto_uncorrected_mm_per_day[month] - profile.eto_mm_per_day[month]) / 2.0;
        EXPECT_NEAR(with[month], std::hypot(without[month], half), 1e-12);
        greatest = std::max(greatest, half);
    }
    EXPECT_GT(greatest, 0.1);
}

/// What a method costs where nobody gave a driver.
TEST(EtoError, HoldsTheCostOfTheMethod) {
    PointClimate climate = mild_climate(kErrorPlace, 300.0);
    EXPECT_NEAR(error_of(climate, no_errors())[6], kRounding, 1e-12);
    climate.u2_m_per_s = kUnknownYear;
    EXPECT_NEAR(error_of(climate, no_errors())[6], std::hypot(0.27, kRounding), 1e-12);
    climate.vapour_pressure_kpa = kUnknownYear;
    EXPECT_NEAR(error_of(climate, no_errors())[6], std::hypot(0.27, 0.25, kRounding), 1e-12);
    climate.rs_mj_m2_day = kUnknownYear;
    EXPECT_NEAR(error_of(climate, no_errors())[6], std::hypot(0.45, kRounding), 1e-12);
}

/// Air near saturation and a hardly clouded sky: a step that is cut short there is no half slope.
TEST(EtoError, IsNotSmallerAtTheBoundsOfADriver) {
    const MonthlySun sun = monthly_sun(kErrorPlace.lat_deg);
    const auto error_at = [&](Driver driver, double value, double error) {
        PointClimate climate = mild_climate(kErrorPlace, 300.0);
        DriverYear drivers = drivers_of(climate, sun);
        of(drivers, driver) = every_month(value);
        set_drivers(climate, drivers, sun);
        DriverYear errors = no_errors();
        of(errors, driver) = every_month(error);
        return error_of(climate, errors)[6];
    };
    EXPECT_NEAR(error_at(Driver::humidity, 1.0, 0.05), error_at(Driver::humidity, 0.97, 0.05),
                0.1 * error_at(Driver::humidity, 0.97, 0.05));
    EXPECT_NEAR(error_at(Driver::clearness, 0.85, 0.03), error_at(Driver::clearness, 0.82, 0.03),
                0.2 * error_at(Driver::clearness, 0.82, 0.03));
}

TEST(EtoError, IsUnknownWhereEtoIs) {
    PointClimate climate = mild_climate(kErrorPlace, 300.0);
    climate.tmax_c[3] = kUnknown;
    const Monthly<double> error = error_of(climate, no_errors());
    EXPECT_TRUE(std::isnan(error[3]));
    EXPECT_FALSE(std::isnan(error[4]));
}

}  // namespace
}  // namespace thirstline
