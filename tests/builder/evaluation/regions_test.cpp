// Regions against where towns lie; positions from memory, to a degree.
#include "builder/evaluation/regions.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

TEST(Regions, HoldTheTownsThatTheyShould) {
    const LatLon nairobi{-1.3, 36.8};
    const LatLon riyadh{24.7, 46.7};
    const LatLon paris{48.9, 2.4};
    const LatLon tokyo{35.7, 139.7};
    const LatLon lima{-12.0, -77.0};
    EXPECT_TRUE(is_in(Region::africa, nairobi, "Kenya"));
    EXPECT_FALSE(is_in(Region::africa, riyadh, "Saudi Arabia"));
    EXPECT_TRUE(is_in(Region::europe, paris, "France"));
    EXPECT_TRUE(is_in(Region::east_asia, tokyo, "Japan"));
    EXPECT_TRUE(is_in(Region::south_america, lima, "Peru"));
    EXPECT_FALSE(is_in(Region::south_america, tokyo, "Japan"));
    for (const LatLon& town : {nairobi, riyadh, paris, tokyo, lima})
        EXPECT_TRUE(is_in(Region::world, town, ""));
}

TEST(Regions, TheUnitedStatesAreACountry) {
    const LatLon honolulu{21.3, -157.9};
    const LatLon toronto{43.7, -79.4};
    EXPECT_TRUE(is_in(Region::united_states, honolulu, "United_States"));
    EXPECT_TRUE(is_in(Region::united_states, honolulu, "United States of America"));
    EXPECT_FALSE(is_in(Region::united_states, toronto, "Canada"));
    // A point of the lattice has no country.
    EXPECT_TRUE(is_in(Region::united_states, {39.7, -105.0}, ""));
    EXPECT_FALSE(is_in(Region::united_states, honolulu, ""));
}

TEST(Regions, CountriesAreSpelledInSeveralWays) {
    EXPECT_TRUE(is_same_country("United_States", "united states"));
    EXPECT_FALSE(is_same_country("Niger", "Nigeria"));
    EXPECT_FALSE(is_same_country("T\u00fcrkiye", "Trkiye"));
}

TEST(DistanceClasses, BeginWhereTheLastEnds) {
    EXPECT_EQ(distance_class_of(0.0), DistanceClass::to_25_km);
    EXPECT_EQ(distance_class_of(25.0), DistanceClass::to_50_km);
    EXPECT_EQ(distance_class_of(99.9), DistanceClass::to_100_km);
    EXPECT_EQ(distance_class_of(250.0), DistanceClass::beyond_250_km);
}

}  // namespace
}  // namespace thirstline
