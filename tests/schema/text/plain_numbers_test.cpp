#include "schema/text/plain_numbers.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

TEST(PlainNumbers, AreDigitsWithASignAndAPoint) {
    EXPECT_EQ(plain_number("12.5"), 12.5);
    EXPECT_EQ(plain_number("-0.25"), -0.25);
    EXPECT_EQ(plain_number("+7"), 7.0);
    EXPECT_EQ(plain_number(".5"), 0.5);
    for (const char* text : {"", "-", "+", ".", "nan", "inf", "-inf", "1e3", "0x10", "12,5", "1 2",
                             " 1", "1 ", "+-1", "--1", "1-", "1.2.3", "1'000"}) {
        EXPECT_FALSE(plain_number(text)) << text;
    }
}

TEST(PlainNumbers, ElevationsAreWholeMetresOfThisEarth) {
    EXPECT_EQ(parse_elevation_m("130").value(), 130);
    EXPECT_EQ(parse_elevation_m("-430").value(), -430);
    EXPECT_EQ(parse_elevation_m("128.5").value(), 129);
    EXPECT_EQ(parse_elevation_m("5280ft").value(), 1609);
    EXPECT_EQ(parse_elevation_m("1609m", LengthUnit::foot).value(), 1609);
    EXPECT_EQ(parse_elevation_m("5280 ft").value(), 1609);
    EXPECT_EQ(parse_elevation_m("5280", LengthUnit::foot).value(), 1609);
    EXPECT_EQ(parse_elevation_m("-282", LengthUnit::foot).value(), -86);
    for (const char* text :
         {"", "high", "10001", "-1001", "1e3", "nan", "m", "5280 feet", "40000ft", "130mm"}) {
        const auto elevation = parse_elevation_m(text);
        ASSERT_FALSE(elevation) << text;
        EXPECT_EQ(elevation.error().code, ErrorCode::usage);
    }
}

}  // namespace
}  // namespace thirstline
