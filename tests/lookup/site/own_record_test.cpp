#include "lookup/site/own_record.hpp"

#include <gtest/gtest.h>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using test::file_in_test_folder;

SiteProfile profile_before_the_record() {
    const auto database = test::open_merrow();
    return site_profile(database->answer({472'500'000, -305'000'000}).value(), database->layout());
}

TEST(OwnRecord, ReplacesWhatItGivesAndNothingElse) {
    const std::string path =
        file_in_test_folder("own.csv", "rain_mm,month,eto_mm\n,7,200\n3.5,2,\n\n0,12,0\n");
    const auto record = read_own_record(path);
    ASSERT_TRUE(record) << record.error().message;
    const SiteProfile before = profile_before_the_record();
    SiteProfile after = before;
    apply_own_record(after, *record);

    EXPECT_EQ(after.months[6].eto_mm, 200.0);
    EXPECT_DOUBLE_EQ(*after.months[6].eto_mm_per_day, 200.0 / 31.0);
    EXPECT_FALSE(after.months[6].eto_se_mm);
    EXPECT_TRUE(after.months[6].eto_is_own);
    EXPECT_FALSE(after.months[6].rain_is_own);
    EXPECT_EQ(after.months[6].rain_mm, before.months[6].rain_mm);
    EXPECT_EQ(after.months[6].rain_se_mm, before.months[6].rain_se_mm);
    EXPECT_EQ(after.months[1].rain_mm, 3.5);
    EXPECT_FALSE(after.months[1].eto_is_own);
    EXPECT_EQ(after.months[11].eto_mm, 0.0);
    EXPECT_EQ(after.months[0].eto_mm, before.months[0].eto_mm);
    // Sums and shares follow.
    EXPECT_NEAR(*after.annual_eto_mm,
                *before.annual_eto_mm - *before.months[6].eto_mm - *before.months[11].eto_mm + 200,
                1e-9);
    EXPECT_DOUBLE_EQ(*after.months[6].percent_of_peak, 100.0);
    EXPECT_LT(*after.months[7].percent_of_peak, *before.months[7].percent_of_peak);
}

/// The file's own values times a factor.
OwnRecord record_times(const SiteProfile& profile, double eto, double rain) {
    OwnRecord record;
    record.file = "own.csv";
    for (std::size_t m = 0; m < kMonths; ++m) {
        record.eto_mm[m] = eto * *profile.months[m].eto_mm;
        record.rain_mm[m] = rain * *profile.months[m].rain_mm;
    }
    return record;
}

TEST(OwnRecord, IsComparedWithTheFile) {
    const SiteProfile profile = profile_before_the_record();
    EXPECT_TRUE(check_own_record(profile, record_times(profile, 1.5, 0.5)).value().empty());
    const auto doubtful = check_own_record(profile, record_times(profile, 1.0, 4.0)).value();
    ASSERT_EQ(doubtful.size(), 1U);
    EXPECT_NE(doubtful[0].find("rain of own.csv is 4.0 times"), std::string::npos) << doubtful[0];
    // Inches in a column of millimetres, and millimetres times 25.4.
    const auto inches = check_own_record(profile, record_times(profile, 1.0 / 25.4, 1.0));
    ASSERT_FALSE(inches);
    EXPECT_NE(inches.error().message.find("inches, not millimeters"), std::string::npos);
    const auto twice = check_own_record(profile, record_times(profile, 1.0, 25.4));
    ASSERT_FALSE(twice);
    EXPECT_NE(twice.error().message.find("twice"), std::string::npos);
    EXPECT_EQ(twice.error().code, ErrorCode::bad_input);
}

TEST(OwnRecord, TakesEitherColumnAlone) {
    EXPECT_TRUE(read_own_record(file_in_test_folder("eto.csv", "month,eto_mm\n1,10\n")));
    EXPECT_TRUE(read_own_record(file_in_test_folder("rain.csv", "month,rain_mm\r\n1,10\r\n")));
    EXPECT_TRUE(
        read_own_record(file_in_test_folder("bom.csv", "\xEF\xBB\xBFmonth,rain_mm\n1,\"10\"")));
}

struct BadRecord {
    const char* name;
    const char* content;
    const char* says;  ///< besides the file's name
};

class RefusedRecord : public testing::TestWithParam<BadRecord> {};

TEST_P(RefusedRecord, NamesFileAndLine) {
    const BadRecord& bad = GetParam();
    const std::string path = file_in_test_folder(std::string(bad.name) + ".csv", bad.content);
    const auto record = read_own_record(path);
    ASSERT_FALSE(record);
    EXPECT_EQ(record.error().code, ErrorCode::bad_input);
    EXPECT_NE(record.error().message.find(path), std::string::npos) << record.error().message;
    EXPECT_NE(record.error().message.find(bad.says), std::string::npos) << record.error().message;
}

INSTANTIATE_TEST_SUITE_P(
    Files, RefusedRecord,
    testing::Values(
        BadRecord{"empty", "", "is empty"},
        BadRecord{"header_only", "month,eto_mm,rain_mm\n", "has no values"},
        BadRecord{"all_blank", "month,eto_mm,rain_mm\n1,,\n", "has no values"},
        BadRecord{"no_month", "eto_mm,rain_mm\n1,2\n", ":1: the header lacks the column \"month\""},
        BadRecord{"no_value_column", "month\n1\n",
                  ":1: the header lacks the column \"eto_mm\" or \"rain_mm\""},
        BadRecord{"unknown_column", "month,et_mm\n1,2\n", "\"et_mm\""},
        BadRecord{"column_twice", "month,eto_mm,eto_mm\n1,2,3\n", "twice"},
        BadRecord{"month_13", "month,eto_mm\n1,5\n13,5\n",
                  ":3: the column \"month\" must be a month from 1 to 12, not \"13\""},
        BadRecord{"month_0", "month,eto_mm\n0,5\n", ":2: the column \"month\""},
        BadRecord{"month_half", "month,eto_mm\n1.5,5\n", ":2: the column \"month\""},
        BadRecord{"month_name", "month,eto_mm\nJan,5\n",
                  ":2: the column \"month\" must be a month from 1 to 12, not \"Jan\""},
        BadRecord{"month_blank", "month,eto_mm\n,5\n", ":2: the column \"month\""},
        BadRecord{"month_twice", "month,eto_mm\n7,5\n8,5\n7,6\n", ":4: month 7 is given twice"},
        BadRecord{"negative", "month,eto_mm\n7,-1\n", ", not \"-1\""},
        BadRecord{"not_a_number", "month,rain_mm\n7,nan\n", ", not \"nan\""},
        BadRecord{"trace", "month,rain_mm\n7,T\n", ", not \"T\""},
        BadRecord{"too_much", "month,eto_mm\n7,1000.1\n",
                  "the column \"eto_mm\" must be a number from 0 to 1000 mm"},
        BadRecord{"too_much_rain", "month,rain_mm\n7,10001\n",
                  "the column \"rain_mm\" must be a number from 0 to 10000 mm"},
        BadRecord{"few_fields", "month,eto_mm,rain_mm\n7,5\n",
                  ":2: the row must have 3 fields like the header, not 2"},
        BadRecord{"many_fields", "month,eto_mm\n7,5,1\n",
                  ":2: the row must have 2 fields like the header, not 3"},
        BadRecord{"open_quote", "month,eto_mm\n\"7,5\n", ":2: a quote is not closed"}),
    [](const auto& parameter) { return std::string(parameter.param.name); });

TEST(OwnRecord, ThatIsNotThereIsAnIoError) {
    const auto record = read_own_record(test::path_in_test_folder("nowhere.csv"));
    ASSERT_FALSE(record);
    EXPECT_EQ(record.error().code, ErrorCode::io);
    const auto folder = read_own_record(test::path_in_test_folder("."));
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().code, ErrorCode::io);
}

}  // namespace
}  // namespace thirstline
