#include "lookup/zone_file/rule_texts.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

TEST(RuleTexts, ReadTimesOfDay) {
    EXPECT_EQ(read_clock_time("22:05")->minutes, 22 * 60 + 5);
    EXPECT_EQ(read_clock_time("00:00")->minutes, 0);
    EXPECT_EQ(read_clock_time("24:00")->minutes, 1440);
    for (const char* wrong : {"", "9:00", "24:01", "12:60", "12.30", "noon!", "-1:30", "12:3a"})
        EXPECT_FALSE(read_clock_time(wrong)) << wrong;
}

TEST(RuleTexts, ReadBarredHours) {
    const auto spans = read_barred_hours("10:00-18:00; Sat, Sun 08:00 - 20:00");
    ASSERT_TRUE(spans);
    ASSERT_EQ(spans->size(), 2U);
    EXPECT_EQ((*spans)[0], (BarredSpan{kEveryDay, 600, 1080}));
    EXPECT_EQ((*spans)[1],
              (BarredSpan{{false, false, false, false, false, true, true}, 480, 1200}));
    for (const char* wrong : {"", "10:00", "10:00-10:00", "Sat 10:00-25:00", "Someday 10:00-12:00",
                              "10:00-18:00;", "Sat10:00-12:00"})
        EXPECT_FALSE(read_barred_hours(wrong)) << wrong;
}

// Sunday 22:00 to 4:00 ends on Monday.
TEST(RuleTexts, PutHoursAfterMidnightOnTheNextDay) {
    const auto spans = read_barred_hours("Sun 22:00-04:00");
    ASSERT_TRUE(spans);
    ASSERT_EQ(spans->size(), 2U);
    EXPECT_EQ((*spans)[0],
              (BarredSpan{{false, false, false, false, false, false, true}, 1320, 1440}));
    EXPECT_EQ((*spans)[1], (BarredSpan{{true, false, false, false, false, false, false}, 0, 240}));
}

TEST(RuleTexts, ReadDaysByHouseNumber) {
    const auto days = read_address_days("odd: Wed, Sat; even: Thu, Sun");
    ASSERT_TRUE(days);
    ASSERT_EQ(days->size(), 2U);
    EXPECT_TRUE((*days)[0].last_digits[7] && !(*days)[0].last_digits[8]);
    EXPECT_TRUE((*days)[1].weekdays[6] && !(*days)[1].weekdays[5]);
    const auto by_digit = read_address_days("0-4: Mon; 5, 6, 7-9: Tue");
    ASSERT_TRUE(by_digit);
    EXPECT_TRUE((*by_digit)[0].last_digits[0] && (*by_digit)[0].last_digits[4]);
    EXPECT_TRUE((*by_digit)[1].last_digits[5] && (*by_digit)[1].last_digits[9]);
    for (const char* wrong : {"", "odd", "odd: ", "odd: Funday", "0-4: Mon; 4-9: Tue", "4-0: Mon",
                              "10: Mon", "odd: Mon; 3: Tue"})
        EXPECT_FALSE(read_address_days(wrong)) << wrong;
}

}  // namespace
}  // namespace thirstline
