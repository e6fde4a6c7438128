#include "lookup/site_output/site_csv.hpp"

#include <gtest/gtest.h>

#include "tests/support/lines_of_text.hpp"
#include "tests/support/site_report_of_merrow.hpp"

namespace thirstline {
namespace {

using test::lines_of;

TEST(SiteCsv, HasARowAMonthAndUnitsInItsHeader) {
    const auto lines = lines_of(site_csv(test::merrow_report(), UnitSystem::metric));
    ASSERT_EQ(lines.size(), 13U);
    EXPECT_EQ(lines[0],
              "month,days,eto_mm,eto_mm_per_day,eto_se_mm,rain_mm,rain_se_mm,tmax_c,tmin_c,"
              "percent_of_peak,method,own");
    EXPECT_EQ(lines[2], "2,28.25,23.4,0.83,5.7,103.0,10.0,2.5,-3.0,14.6,penman-monteith,");
    EXPECT_EQ(lines[7], "7,31,176.1,5.68,6.2,23.0,10.0,12.5,-3.0,100.0,penman-monteith,");
}

TEST(SiteCsv, IsInInchesAndFahrenheitForTheUs) {
    const auto lines = lines_of(site_csv(test::merrow_report(), UnitSystem::us));
    EXPECT_EQ(lines[0],
              "month,days,eto_in,eto_in_per_day,eto_se_in,rain_in,rain_se_in,tmax_f,tmin_f,"
              "percent_of_peak,method,own");
    // 176.08 mm = 6.932 in, 5.68 mm/day = 0.2236, 6.2 mm = 0.244, 23 mm = 0.906, 10 mm = 0.394
    EXPECT_EQ(lines[7], "7,31,6.93,0.224,0.24,0.91,0.39,54.5,26.6,100.0,penman-monteith,");
}

TEST(SiteCsv, LeavesTheUnknownEmpty) {
    const auto lines = lines_of(site_csv(
        test::merrow_report({.temperature = false, .standard_errors = false}), UnitSystem::metric));
    EXPECT_EQ(lines[0],
              "month,days,eto_mm,eto_mm_per_day,eto_se_mm,rain_mm,rain_se_mm,percent_of_peak,"
              "method,own");
    EXPECT_EQ(lines[7], "7,31,176.1,5.68,,23.0,,100.0,penman-monteith,");
}

TEST(SiteCsv, MarksTheUsersOwnValues) {
    SiteReport report = test::merrow_report();
    OwnRecord own;
    own.eto_mm[0] = 10.0;
    own.rain_mm[0] = 1.0;
    own.rain_mm[1] = 2.0;
    apply_own_record(report.profile, own);
    const auto lines = lines_of(site_csv(report, UnitSystem::metric));
    EXPECT_TRUE(lines[1].ends_with(",own,eto rain")) << lines[1];
    EXPECT_TRUE(lines[2].ends_with(",penman-monteith,rain")) << lines[2];
    EXPECT_TRUE(lines[3].ends_with(",penman-monteith,")) << lines[3];
}

TEST(SiteCsv, OfStepsHasARowAStep) {
    const auto weeks =
        lines_of(site_csv(test::merrow_report({}, StepLength::week), UnitSystem::metric));
    ASSERT_EQ(weeks.size(), 53U);
    EXPECT_EQ(weeks[0], "start,days,eto_mm,rain_mm");
    EXPECT_TRUE(weeks[52].starts_with("12-24,8,")) << weeks[52];
    const auto days = lines_of(site_csv(test::merrow_report({}, StepLength::day), UnitSystem::us));
    ASSERT_EQ(days.size(), 366U);
    EXPECT_EQ(days[0], "start,days,eto_in,rain_in");
}

}  // namespace
}  // namespace thirstline
