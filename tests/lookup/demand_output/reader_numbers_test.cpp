#include "lookup/demand_output/reader_numbers.hpp"

#include <gtest/gtest.h>

#include "tests/support/text_styles.hpp"

namespace thirstline {
namespace {

TEST(ReaderNumbers, AreInTheReadersUnits) {
    EXPECT_EQ(depth_with_unit(25.4, kInches), "1.00 in");
    EXPECT_EQ(depth_with_unit(25.4, kMetric), "25.4 mm");
    EXPECT_EQ(volume_with_unit(3785.411784, kInches), "1,000 gal");
    EXPECT_EQ(volume_with_unit(3785.411784, kMetric), "3.8 m³");
    EXPECT_EQ(volume_with_unit(950.0, kMetric), "950 L");
    EXPECT_EQ(volume_with_unit(-5000.0, kMetric), "-5.0 m³");
    EXPECT_EQ(volume_number(1234567.0, kMetric), "1,234,567");
    EXPECT_EQ(volume_number(999.4, kMetric), "999");
    EXPECT_TRUE(is_negligible_depth(0.49, kMetric));
    EXPECT_FALSE(is_negligible_depth(0.5, kMetric));
    EXPECT_TRUE(is_negligible_depth(1.26, kInches));
}

TEST(ReaderNumbers, WriteMoneyWithItsCurrency) {
    EXPECT_EQ(money(1234.5, "$"), "$1,234.50");
    EXPECT_EQ(money(312.5, "EUR"), "EUR 312.50");
    EXPECT_EQ(money(0.0, ""), "0.00");
    EXPECT_EQ(money(-1234.5, ""), "-1,234.50");
    EXPECT_EQ(money(-3.76, "$"), "-$3.76");
    EXPECT_EQ(money(-0.001, "$"), "$0.00");
}

TEST(ReaderNumbers, WriteTimesAndDays) {
    EXPECT_EQ(minutes_number(130.0), "130");
    EXPECT_EQ(minutes_number(12.34), "12.3");
    EXPECT_EQ(run_length(0.5), "30 s");
    EXPECT_EQ(run_length(8.0), "8 min");
    EXPECT_EQ(run_length(3.9), "3.9 min");
    EXPECT_EQ(run_length(66.0), "66 min");
    EXPECT_EQ(run_length(130.0), "130 min");
    EXPECT_EQ(english(days_number(3.0)), "3");
    EXPECT_EQ(english(days_number(3.5)), "3.5");
    EXPECT_EQ(english(days_number(0.5)), "every 2 wk");
    EXPECT_EQ(english(days_number(0.25)), "every 4 wk");
    // A share of a day that is no such interval is not "1/1".
    EXPECT_EQ(english(days_number(0.7)), "0.7");
    EXPECT_EQ(english(days_number(0.93)), "0.9");
    EXPECT_EQ(english(days_number(0.0)), "0");
}

}  // namespace
}  // namespace thirstline
