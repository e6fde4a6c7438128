// Numbers and positions as written in tables.
#include "builder/inputs/table_fields.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

TEST(TableFields, BlanksAtTheEndsGo) {
    EXPECT_EQ(trimmed_field("  Merrow Quay\t "), "Merrow Quay");
    EXPECT_EQ(trimmed_field("\u00A0 Jan \u00A0"), "Jan");
    EXPECT_EQ(trimmed_field(" \t\r"), "");
    EXPECT_EQ(trimmed_field(""), "");
}

TEST(TableFields, NumbersAreWholeFields) {
    EXPECT_EQ(number_in_field("  -99.9 "), -99.9);
    EXPECT_EQ(number_in_field("+4.5"), 4.5);
    EXPECT_EQ(number_in_field("1e3"), 1000.0);
    for (const char* field : {"", "  ", "4.5x", "4,5", "+-4", "nan", "inf", "0x10", "1 2", "--3"})
        EXPECT_FALSE(number_in_field(field)) << field;
}

TEST(TableFields, UnitsBesideNumbers) {
    const auto read = [](const char* field) {
        const auto found = number_with_unit(field);
        return found ? std::to_string(found->number).substr(0, 5) + "|" + std::string(found->unit)
                     : "none";
    };
    EXPECT_EQ(read(" 409.4 m "), "409.4|m");
    EXPECT_EQ(read("-11.1C"), "-11.1|C");
    EXPECT_EQ(read("21.85 °"), "21.85|°");
    EXPECT_EQ(read("21.85"), "21.85|");
    for (const char* field : {"", "m", "<31", "2015/01/25", "1 2", "1,5", "1.2.3", "12:30", "5-6"})
        EXPECT_EQ(read(field), "none") << field;
}

TEST(TableFields, DecimalCommas) {
    EXPECT_EQ(with_decimal_point("-0,5"), "-0.5");
    EXPECT_EQ(with_decimal_point("12"), "12");
    EXPECT_EQ(with_decimal_point("1.234,5"), "1.234,5");
    EXPECT_FALSE(number_in_field(with_decimal_point("1,234,5")));
}

TEST(TableFields, PositionsInEveryForm) {
    const auto decimal = position_in_fields(" 44.1010", "-38.2265 ");
    ASSERT_TRUE(decimal);
    EXPECT_NEAR(decimal->lat_deg, 44.101, 1e-9);
    EXPECT_NEAR(decimal->lon_deg, -38.2265, 1e-9);
    for (const auto& [lat, lon] : {std::pair{"44°06'03.6\"N", "38°13'35.4\"W"},
                                   {"44 06 03.6", "-38 13 35.4"},
                                   {"N 44 06 03.6", "W 38 13 35.4"}}) {
        const auto position = position_in_fields(lat, lon);
        ASSERT_TRUE(position) << lat;
        EXPECT_NEAR(position->lat_deg, 44.101, 1e-7) << lat;
        EXPECT_NEAR(position->lon_deg, -38.2265, 1e-7) << lon;
    }
}

TEST(TableFields, ReportsWhyAPositionIsInvalid) {
    for (const auto& [lat, lon] : {std::pair{"-98.600", "-986.600"}, {"0.0", "0"}, {"91", "10"}})
        EXPECT_EQ(position_in_fields(lat, lon).error(), "position is impossible") << lat;
    for (const auto& [lat, lon] : {std::pair{"", "10"}, {"north", "10"}, {"44,1", "10"}})
        EXPECT_EQ(position_in_fields(lat, lon).error(), "position cannot be read") << lat;
}

}  // namespace
}  // namespace thirstline
