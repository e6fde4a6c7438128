#include "schema/geo/coordinates.hpp"

#include <gtest/gtest.h>

#include <clocale>
#include <cstdlib>
#include <random>
#include <string>

namespace thirstline {
namespace {

constexpr LatLonE7 kSite{440'500'000, -1'230'900'000};

class Accepted : public testing::TestWithParam<const char*> {};

TEST_P(Accepted, MeansTheSameSite) {
    const auto position = parse_position(GetParam());
    ASSERT_TRUE(position) << position.error().message;
    EXPECT_EQ(position->lat_e7, kSite.lat_e7);
    EXPECT_EQ(position->lon_e7, kSite.lon_e7);
}

INSTANTIATE_TEST_SUITE_P(
    Forms, Accepted,
    testing::Values("44.05,-123.09", "44.05, -123.09", " 44.05 -123.09 ", "+44.05;-123.0900",
                    "44.05N 123.09W", "44.05N123.09W", "44.05n,123.09w", "N44.05 W123.09",
                    "N 44.05, W 123.09", "44.05°N 123.09°W", "44.05° -123.09°",
                    "44°03'00\"N 123°05'24\"W", "44°03'00\"N,123°05'24\"W",
                    "44°03′00″N 123°05′24″W", "44°03’00”N 123°05’24”W", "44°03'00''N 123°05'24''W",
                    "44 03 00 N 123 05 24 W", "44 03 00 N, 123 05 24 W", "44 03 00 -123 05 24",
                    "44°3'N 123°5.4'W", "44° 03' 00\" N   123° 05' 24\" W", "N44°03' W123°05'24",
                    "44°03' -123°05'24\"", "44.05N -123.09", "44.05,123.09W", "44.05,\u2212123.09",
                    "44.05\u00A0-123.09", "44º03'00\"N 123º05'24\"W"));

class Refused : public testing::TestWithParam<const char*> {};

TEST_P(Refused, IsAUsageErrorThatQuotesTheText) {
    const auto position = parse_position(GetParam());
    ASSERT_FALSE(position) << position->lat_e7 << " " << position->lon_e7;
    EXPECT_EQ(position.error().code, ErrorCode::usage);
    EXPECT_NE(position.error().message.find('"' + std::string(GetParam()) + '"'), std::string::npos)
        << position.error().message;
}

INSTANTIATE_TEST_SUITE_P(
    Texts, Refused,
    testing::Values("", " ", ",", "44.05", "44.05,", ",-123.09", "nan,nan", "inf,0", "-inf,0",
                    "0x2c,0x7b", "4.4e1,-123.09", "1e1 1e1", "44,05,-123,09", "44.05,-123.09,7",
                    "44.05,-123.09 x", "x44.05,-123.09", "44.05/-123.09", "44..05,-123.09",
                    "44.0.5,-123.09", "--44.05,-123.09", "+-44.05,-123.09", "44.05N", "N,W",
                    "-44.05N,123.09W", "44.05NN,123.09W", "N44.05N,123.09W", "44°60'N 123°W",
                    "44°03'60\"N 123°W", "44.5°03'N 123°W", "44°03.5'10\"N 123°W",
                    "44 -03 00 N 123 05 24 W", "44'03°N 123°W", "44 3 -123", "°,°", "91,0",
                    "-90.0000001,0", "0,180.0000001", "44.05,-236.91", "200,200", "44.05;-123;09",
                    "44.05\n-123.09"));

TEST(Coordinates, TakeTheEdgesOfTheWorld) {
    EXPECT_EQ(parse_position("90,180").value(), (LatLonE7{900'000'000, -1'800'000'000}));
    EXPECT_EQ(parse_position("-90,-180").value(), (LatLonE7{-900'000'000, -1'800'000'000}));
    EXPECT_EQ(parse_position("0,0").value(), (LatLonE7{0, 0}));
    EXPECT_EQ(parse_position("33°52'S 151°12'E").value(), (LatLonE7{-338'666'667, 1'512'000'000}));
    EXPECT_EQ(parse_position("-0.5 -0.25").value(), (LatLonE7{-5'000'000, -2'500'000}));
    EXPECT_EQ(parse_position("-0°30' -0°15'").value(), (LatLonE7{-5'000'000, -2'500'000}));
}

TEST(Coordinates, SayWhenTheTwoLookSwapped) {
    for (const char* text :
         {"-123.09,44.05", "123.09W 44.05N", "W123.09 N44.05", "10E, 20", "10, 20N"}) {
        const auto position = parse_position(text);
        ASSERT_FALSE(position) << text;
        EXPECT_NE(position.error().message.find("swapped"), std::string::npos) << text;
        EXPECT_FALSE(position.error().hint.empty()) << text;
    }
    // Both beyond 90: nothing to swap.
    EXPECT_EQ(parse_position("100,100").error().message.find("swapped"), std::string::npos);
}

TEST(Coordinates, ReadsCoordinatesFromTwoFields) {
    EXPECT_EQ(parse_position("44.05", "-123.09").value(), kSite);
    EXPECT_EQ(parse_position("44°03'00\"N", "123°05'24\"W").value(), kSite);
    EXPECT_EQ(parse_position(" 44.05 ", "-123.09").value(), kSite);
    for (const auto& [lat, lon] :
         {std::pair{"", "1"}, std::pair{"1", ""}, std::pair{"1,2", "3"}, std::pair{"nan", "3"},
          std::pair{"91", "100"}, std::pair{"1", "181"}, std::pair{"123.09W", "44.05N"}}) {
        EXPECT_FALSE(parse_position(lat, lon)) << lat << " " << lon;
    }
}

TEST(Coordinates, AreTheNearestDoubleHoweverManyDigitsAreWritten) {
    // Against strtod of the C library.
    std::mt19937 random(1);
    for (int i = 0; i < 100'000; ++i) {
        std::string text = std::to_string(random() % 90) + ".";
        for (auto digits = random() % 22; digits > 0; --digits)
            text.push_back(static_cast<char>('0' + random() % 10));
        const double degrees = std::strtod(text.c_str(), nullptr);
        const auto position = parse_position(text, "-" + text);
        ASSERT_TRUE(position) << text;
        ASSERT_EQ(*position, to_e7(LatLon{degrees, -degrees})) << text;
    }
}

}  // namespace
}  // namespace thirstline
