// What stations say, and what their neighbours would.
#include "builder/evaluation/observations.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/evaluation/own_temperature.hpp"
#include "tests/support/sample_climates.hpp"

namespace thirstline {
namespace {

Observation rain_gauge(LatLon at, double rain_mm) {
    Observation observation;
    observation.position = at;
    of(observation.values, ScoredVariable::rain).fill(rain_mm);
    return observation;
}

TEST(Observations, WeighsByTheInverseSquareOfDistance) {
    // 0.2 and 0.4 degrees of a meridian away: weights 4 to 1.
    const std::vector<Observation> gauges{rain_gauge({45.2, 10.0}, 100.0),
                                          rain_gauge({44.6, 10.0}, 50.0),
                                          rain_gauge({60.0, 10.0}, 999.0)};
    const Neighbourhood neighbourhood(gauges);
    const LatLon at{45.0, 10.0};
    const auto two = neighbourhood.nearest(Measured::rain, 2, at, LeftOut{at, 1.0, nullptr});
    ASSERT_EQ(two.size(), 2U);
    EXPECT_EQ(two[0].observation, 0U);
    EXPECT_NEAR(two[0].km, 22.2, 0.1);
    const ScoredYear mean = neighbourhood.mean_of(Measured::rain, two);
    EXPECT_NEAR(of(mean, ScoredVariable::rain)[4], 0.8 * 100.0 + 0.2 * 50.0, 0.01);
    EXPECT_TRUE(std::isnan(of(mean, ScoredVariable::tmax)[4]));
    EXPECT_NEAR(neighbourhood.nearest_km(Measured::rain, {45.2, 10.0}), 0.0, 1e-9);
}

TEST(Observations, PassesOverWhatIsLeftOut) {
    const std::vector<Observation> gauges{rain_gauge({45.1, 10.0}, 1.0),
                                          rain_gauge({45.2, 10.0}, 2.0),
                                          rain_gauge({45.3, 10.0}, 3.0)};
    const Neighbourhood neighbourhood(gauges);
    const LatLon at{45.0, 10.0};
    const std::vector<bool> fold{false, true, false};
    EXPECT_EQ(neighbourhood.nearest(Measured::rain, 1, at, LeftOut{at, 15.0, nullptr})
                  .front()
                  .observation,
              1U);
    EXPECT_EQ(
        neighbourhood.nearest(Measured::rain, 1, at, LeftOut{at, 15.0, &fold}).front().observation,
        2U);
    EXPECT_TRUE(neighbourhood.nearest(Measured::rain, 1, at, LeftOut{at, 99.0, nullptr}).empty());
    EXPECT_TRUE(neighbourhood.nearest(Measured::temperature, 1, at, LeftOut{}).empty());
}

TEST(Observation, WithAllDriversKnowsPenmanMonteith) {
    // FAO-56 example 17, Bangkok in April, in every month; the answer 5.72 mm/day is second hand.
    StationPlace place;
    place.site.position = {13.733, 100.5};
    place.site.elevation_m = 2.0;
    place.sun = monthly_sun(13.733);
    place.own.position = place.site.position;
    place.own.elevation_m = 2.0;
    place.own.tmax_c.fill(34.8);
    place.own.tmin_c.fill(25.6);
    place.own.vapour_pressure_kpa.fill(2.85);
    place.own.u2_m_per_s.fill(2.0);
    place.own.sunshine_hours_per_day.fill(8.5);
    place.own_drivers = drivers_of(place.own, place.sun);
    const auto observed = observation_of(place, kAsMeasured, true);
    // Without soil heat flux: 0.14 MJ, or 0.04 mm/day, more than in the book.
    EXPECT_NEAR(of(observed.values, ScoredVariable::eto)[3], 5.76, 0.03);
    // Its own drivers, put in the place of those from elsewhere, say the same.
    const Monthly<double> again =
        eto_with_own_temperature_mm_per_day(place, place.own_drivers, kAsMeasured);
    EXPECT_NEAR(again[3], of(observed.values, ScoredVariable::eto)[3], 1e-6);

    place.is_typical_year = true;
    const auto typical = observation_of(place, kAsMeasured, false);
    EXPECT_TRUE(std::isnan(of(typical.values, ScoredVariable::tmax)[3]));
    EXPECT_FALSE(std::isnan(of(typical.values, ScoredVariable::eto)[3]));

    of(place.own_drivers, Driver::log_wind)[0] = kUnknown;
    const auto windless = observation_of(place, kAsMeasured, true);
    EXPECT_TRUE(std::isnan(of(windless.values, ScoredVariable::eto)[3]));
    EXPECT_NEAR(of(windless.values, ScoredVariable::tmax)[3], 34.8, 1e-9);
}

}  // namespace
}  // namespace thirstline
