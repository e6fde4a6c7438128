// WMO-No. 1203 (second hand): a normal of thirty years wants 80 % of them.
#include "builder/stations/record_length.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

using enum RecordLength;

TEST(RecordLengths, OfYears) {
    EXPECT_EQ(length_of_years(30), standard_normal);
    EXPECT_EQ(length_of_years(24), standard_normal);
    EXPECT_EQ(length_of_years(23), short_record);
    EXPECT_EQ(length_of_years(0), short_record);
}

// The letters of NCEI's normals, from memory; those of Canada's from the legend of their files of
// 1981-2010.
TEST(RecordLengths, OfFlags) {
    FlagReading of_default{std::nullopt};
    for (const char* flag : {"C", "S"}) EXPECT_EQ(of_default.length_of(flag), standard_normal);
    for (const char* flag : {"R", "P", "Q", "E"})
        EXPECT_EQ(of_default.length_of(flag), short_record) << flag;
    for (const char* flag : {"X", "c", "CS"}) EXPECT_FALSE(of_default.length_of(flag)) << flag;
    FlagReading canadian{flag_set("eccc")};
    for (const char* flag : {"A", "B"}) EXPECT_EQ(canadian.length_of(flag), standard_normal);
    for (const char* flag : {"C", "D"}) EXPECT_EQ(canadian.length_of(flag), short_record);
    EXPECT_FALSE(canadian.length_of("S"));
    EXPECT_FALSE(FlagReading{flag_set("ncei-1991")}.length_of("Q"));
    EXPECT_EQ(FlagReading{flag_set("ncei-1981")}.length_of("Q"), short_record);
    EXPECT_TRUE(flag_set("ncei").empty());
}

TEST(RecordLengths, OfTwoMonthsTheShorterCounts) {
    EXPECT_EQ(shorter_by_flag(not_stated, standard_normal), standard_normal);
    EXPECT_EQ(shorter_by_flag(standard_normal, short_record), short_record);
    EXPECT_EQ(shorter_by_flag(short_record, standard_normal), short_record);
    EXPECT_EQ(shorter_by_flag(standard_normal, not_stated), standard_normal);
}

TEST(RecordLengths, OfPeriods) {
    EXPECT_EQ(length_of_period("typical year, source years 1976-2005"), typical_year);
    EXPECT_EQ(length_of_period("TMY3"), typical_year);
    EXPECT_EQ(length_of_period("Typical months"), typical_year);
    EXPECT_EQ(length_of_period("1991-2020"), not_stated);
    EXPECT_EQ(length_of_period("1997–2020"), not_stated);
    EXPECT_EQ(length_of_period("1998-2020"), short_record);
    EXPECT_EQ(length_of_period("2011-01 to 2020-12"), short_record);
    EXPECT_EQ(length_of_period("since 2010"), not_stated);
    EXPECT_EQ(length_of_period(""), not_stated);
    EXPECT_EQ(length_of_period("199120-20"), not_stated);
}

TEST(RecordLengths, HaveNamesInOrder) {
    EXPECT_EQ(record_length_name(standard_normal), "standard normal");
    EXPECT_EQ(record_length_name(typical_year), "typical year");
    EXPECT_LT(standard_normal, not_stated);
    EXPECT_LT(not_stated, short_record);
    EXPECT_LT(short_record, typical_year);
}

}  // namespace
}  // namespace thirstline
