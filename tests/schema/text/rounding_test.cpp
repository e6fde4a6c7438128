#include "schema/text/rounding.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace thirstline {
namespace {

TEST(Rounding, GoesHalfAwayFromZeroInDecimal) {
    // None of these ties is a tie of the binary double: printf rounds 0.695 down and 2.675 down.
    EXPECT_EQ(fixed(0.695, 2), "0.70");
    EXPECT_EQ(fixed(2.675, 2), "2.68");
    EXPECT_EQ(fixed(1.005, 2), "1.01");
    EXPECT_EQ(fixed(-0.15, 1), "-0.2");
    EXPECT_EQ(fixed(0.25, 1), "0.3");
    EXPECT_EQ(fixed(12.05, 1), "12.1");
    EXPECT_EQ(fixed(12.0499, 1), "12.0");
    EXPECT_EQ(fixed(0.5, 0), "1");
}

TEST(Rounding, EveryTieOfATenThousandthGoesUp) {
    for (int thousandths = 5; thousandths < 100'000; thousandths += 10) {
        const double value = thousandths / 1000.0;
        EXPECT_EQ(rounded_to_integer(value, 2), thousandths / 10 + 1) << value;
        EXPECT_EQ(rounded_to_integer(-value, 2), -(thousandths / 10 + 1)) << value;
    }
}

TEST(Rounding, HasNoNegativeZero) {
    EXPECT_EQ(fixed(-0.04, 1), "0.0");
    EXPECT_EQ(fixed(-0.0, 1), "0.0");
    EXPECT_FALSE(std::signbit(rounded(-0.04, 1)));
}

TEST(Rounding, KeepsTheDecimalsAndTheSign) {
    EXPECT_EQ(fixed(21.4, 2), "21.40");
    EXPECT_EQ(fixed(-3.0, 1), "-3.0");
    EXPECT_EQ(fixed(1234567.891, 3), "1234567.891");
    EXPECT_EQ(rounded(0.1 + 0.2, 1), 0.3);
}

TEST(Rounding, DegreesHaveNoNeedlessZeros) {
    const auto degrees = [](std::int32_t e7) {
        std::string out;
        append_degrees(out, e7);
        return out;
    };
    EXPECT_EQ(degrees(440'500'000), "44.05");
    EXPECT_EQ(degrees(-1'230'900'000), "-123.09");
    EXPECT_EQ(degrees(-1'800'000'000), "-180");
    EXPECT_EQ(degrees(0), "0");
    EXPECT_EQ(degrees(-1), "-0.0000001");
    EXPECT_EQ(degrees(100'000'000), "10");
}

}  // namespace
}  // namespace thirstline
