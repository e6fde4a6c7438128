// Values at scattered places against a reference that looks at every place.
#include "builder/background/nearby_values.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {
namespace {

constexpr double kEarthRadiusKm = 6371.0088;

/// Distance through the Earth, which for neighbours is that over it.
double chord_km(LatLon a, LatLon b) {
    return 2.0 * kEarthRadiusKm * std::sin(great_circle_km(a, b) / kEarthRadiusKm / 2.0);
}

/// Inverse squared distance, 20 km at least, over the nearest eight within reach.
double expected_at(const std::vector<ValuesAtPlace>& places, LatLon at, double reach_km,
                   std::size_t month) {
    std::vector<std::pair<double, double>> by_distance;
    for (const ValuesAtPlace& place : places)
        by_distance.emplace_back(chord_km(at, place.position), place.values[month]);
    std::sort(by_distance.begin(), by_distance.end());
    double sum = 0.0;
    double weights = 0.0;
    for (std::size_t i = 0; i < std::min<std::size_t>(8, by_distance.size()); ++i) {
        const auto& [km, value] = by_distance[i];
        if (km > reach_km) break;
        const double weight = 1.0 / std::pow(std::max(km, 20.0), 2);
        sum += weight * value;
        weights += weight;
    }
    return weights > 0.0 ? sum / weights : std::nan("");
}

std::vector<ValuesAtPlace> scattered_places(int count, std::mt19937& random) {
    std::uniform_real_distribution<double> sine(-1.0, 1.0);
    std::uniform_real_distribution<double> lon(-180.0, 180.0);
    std::vector<ValuesAtPlace> places;
    for (int i = 0; i < count; ++i) {
        ValuesAtPlace place;
        place.position = {std::asin(sine(random)) * 180.0 / 3.14159265358979, lon(random)};
        for (std::size_t month = 0; month < kMonths; ++month)
            place.values[month] = sine(random) * 10.0 + static_cast<double>(month);
        places.push_back(place);
    }
    return places;
}

TEST(NearbyValues, AgreesWithLookingAtEveryPlace) {
    std::mt19937 random(2);
    const std::vector<ValuesAtPlace> places = scattered_places(700, random);
    const NearbyValues nearby(places, 1500.0);
    int known = 0;
    std::vector<LatLon> questions{
        {90.0, 0.0}, {-90.0, 7.0}, {0.0, 180.0}, {0.0, -180.0}, {45.0, 179.9}};
    for (const ValuesAtPlace& each : scattered_places(400, random))
        questions.push_back(each.position);
    for (const LatLon at : questions) {
        const Monthly<double> found = nearby.at(at);
        for (const std::size_t month : {std::size_t{0}, std::size_t{7}}) {
            const double expected = expected_at(places, at, 1500.0, month);
            ASSERT_EQ(std::isnan(found[month]), std::isnan(expected));
            if (std::isnan(expected)) continue;
            EXPECT_NEAR(found[month], expected, 1e-9) << at.lat_deg << " " << at.lon_deg;
            ++known;
        }
    }
    EXPECT_GT(known, 700);
}

TEST(NearbyValues, HasNoAnswerBeyondReach) {
    ValuesAtPlace place{{45.0, 10.0}, {}};
    place.values.fill(4.0);
    const NearbyValues nearby({place}, 500.0);
    EXPECT_DOUBLE_EQ(nearby.at({45.0, 10.0})[3], 4.0);
    EXPECT_DOUBLE_EQ(nearby.at({49.4, 10.0})[3], 4.0);    // 489 km
    EXPECT_TRUE(std::isnan(nearby.at({49.6, 10.0})[3]));  // 511 km
    EXPECT_TRUE(std::isnan(NearbyValues({}, 500.0).at({45.0, 10.0})[0]));
}

TEST(NearbyValues, ReachesAcrossTheAntimeridianAndThePole) {
    ValuesAtPlace east{{10.0, 179.5}, {}};
    east.values.fill(1.0);
    ValuesAtPlace north{{89.5, 0.0}, {}};
    north.values.fill(2.0);
    const NearbyValues nearby({east, north}, 500.0);
    EXPECT_DOUBLE_EQ(nearby.at({10.0, -179.5})[0], 1.0);
    EXPECT_DOUBLE_EQ(nearby.at({89.5, 180.0})[0], 2.0);
}

// One place at the very spot does not outweigh all others that are as near as no matter.
TEST(NearbyValues, PlacesWithinTwentyKilometresCountAlike) {
    ValuesAtPlace here{{45.0, 10.0}, {}};
    here.values.fill(0.0);
    ValuesAtPlace near{{45.1, 10.0}, {}};
    near.values.fill(10.0);
    const NearbyValues nearby({here, near}, 500.0);
    EXPECT_DOUBLE_EQ(nearby.at({45.0, 10.0})[0], 5.0);
}

}  // namespace
}  // namespace thirstline
