#include "lookup/site_output/site_text.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "schema/text/text_wrapping.hpp"
#include "tests/support/lines_of_text.hpp"
#include "tests/support/site_report_of_merrow.hpp"
#include "tests/support/text_styles.hpp"

namespace thirstline {
namespace {

using test::flowing;
using test::line_with;
using test::lines_of;
using test::says;

constexpr TextStyle kPlain{UnitSystem::us, false};

TEST(SiteText, FitsAPhonesTerminal) {
    SiteReport report = test::merrow_report({}, StepLength::week);
    report.query.postal = "4021";
    report.query.country = "XM";
    report.query.place = "Merrow Ford on the Upper Merrow River below the Mill";
    OwnRecord own;
    own.file = "mine.csv";
    own.eto_mm.fill(190.0);
    report.own = own;
    for (const TextStyle& style : {kMetric, kInches, kPlain}) {
        for (const bool with_own : {false, true}) {
            SiteReport shown = report;
            if (with_own) apply_own_record(shown.profile, own);
            for (const std::string& line : lines_of(site_text(shown, style))) {
                EXPECT_LE(columns_of(line), kTextColumns) << line;
                EXPECT_FALSE(line.ends_with(' ')) << line;
            }
        }
    }
}

TEST(SiteText, ShowsAMonthALine) {
    const std::string metric = site_text(test::merrow_report(), kMetric);
    EXPECT_TRUE(says(line_with(metric, "Jul"), "Jul 176.1 ±6.2 23.0 ±10.0 100 █"));
    EXPECT_TRUE(says(line_with(metric, "Feb"), "Feb 23.4 ±5.7 103.0 ±10.0 15 █"));
    const std::string inches = site_text(test::merrow_report(), kInches);
    EXPECT_TRUE(says(line_with(inches, "Jul"), "Jul 6.93 ±0.24 0.91 ±0.39 100 █"));
    EXPECT_TRUE(says(inches, "Peak month: July, 0.224 in/day."));
    EXPECT_TRUE(says(metric, "Peak month: July, 5.68 mm/day."));
    EXPECT_TRUE(says(line_with(metric, "Year"), "Year 958 931"));
    for (const std::string_view month : kMonthAbbreviations) {
        EXPECT_NE(line_with(metric, std::string(month)), "") << month;
    }
}

TEST(SiteText, BarsBeginInOneColumnAndGrowWithTheShare) {
    for (const TextStyle& style : {kMetric, kPlain}) {
        const std::string text = site_text(test::merrow_report(), style);
        // Every block character begins with these two bytes.
        const std::string mark = style.utf8 ? "\xE2\x96" : "#";
        std::size_t start = 0;
        std::size_t longest = 0;
        for (const std::string_view month : kMonthAbbreviations) {
            const std::string line = line_with(text, std::string(month));
            const std::size_t at = line.find(mark);
            ASSERT_NE(at, std::string::npos) << line;
            const std::size_t column = columns_of(line.substr(0, at));
            if (start == 0) start = column;
            EXPECT_EQ(column, start) << line;
            longest = std::max(longest, columns_of(line));
        }
        EXPECT_EQ(columns_of(line_with(text, "Jul")), longest);
        EXPECT_GE(longest - start, 6U);
    }
}

TEST(SiteText, IsAsciiWhereTheLocaleIs) {
    for (const StepLength step : {StepLength::month, StepLength::week, StepLength::day}) {
        for (const char c : site_text(test::merrow_report({}, step), kPlain)) {
            ASSERT_LT(static_cast<unsigned char>(c), 0x80U);
        }
    }
}

TEST(SiteText, ShowsUncertaintyOnlyWhereTheFileHasIt) {
    const std::string with = site_text(test::merrow_report(), kMetric);
    EXPECT_TRUE(says(with, "± is one standard error"));
    const std::string without = site_text(test::merrow_report({.standard_errors = false}), kMetric);
    EXPECT_EQ(without.find("±"), std::string::npos);
    EXPECT_TRUE(says(without, "has no standard errors"));
}

TEST(SiteText, ShowsTheSourcesOfTheNumbers) {
    const std::string text = site_text(test::merrow_report(), kMetric);
    for (const char* words :
         {"47.25 N, 30.5 W", "Elevation of the data: 140 m", "FAO-56 Penman-Monteith",
          "humidity from dew point", "Normals of 1991-2020, interpolated",
          "Merrow station normals: 1991-2020.", "Merrow Valley Weather Society.",
          "License: CC BY 4.0.", "Upper Merrow water baseline", "Invented data, for tests only.",
          "not a forecast", "irrigated conditions"}) {
        EXPECT_TRUE(says(text, words)) << words << "\n" << text;
    }
}

TEST(SiteText, ShowsDistanceElevationAndTheTallReference) {
    const std::string far =
        site_text(test::merrow_report({}, StepLength::month, {467'000'000, -305'000'000}), kMetric);
    EXPECT_TRUE(says(far, "Nearest point with data: 33.4 km away, at 47 N, 30.5 W"));
    const std::string high = site_text(
        test::merrow_report({}, StepLength::month, {472'500'000, -305'000'000}, 1140), kMetric);
    EXPECT_TRUE(says(high, "Adjusted from 140 m to 1140 m."));
    EXPECT_FALSE(says(high, "use --elevation"));
    const std::string tall = site_text(test::merrow_report({.reference = "tall"}), kMetric);
    EXPECT_TRUE(says(tall, "ETr and rain, mm/month"));
    EXPECT_TRUE(says(tall, "ASCE-EWRI 2005"));
    EXPECT_FALSE(says(tall, "FAO-56 Penman-Monteith"));
}

TEST(SiteText, StatesEachSiteCorrection) {
    using enum SiteCorrection;
    std::vector<std::string> sentences;
    for (const SiteCorrection correction :
         {reference, not_wanted, not_done_rain_unknown, not_done_grid_of_eto}) {
        const std::string text = flowing(
            site_text(test::merrow_report({.method = {.correction = correction}}), kMetric));
        const std::size_t at = text.find("Site correction:");
        ASSERT_NE(at, std::string::npos);
        sentences.push_back(text.substr(at, 60));
    }
    std::sort(sentences.begin(), sentences.end());
    EXPECT_EQ(std::adjacent_find(sentences.begin(), sentences.end()), sentences.end());
}

TEST(SiteText, MarksTheUsersOwnValues) {
    SiteReport report = test::merrow_report({.standard_errors = false});
    OwnRecord own;
    own.file = "mine.csv";
    own.eto_mm[6] = 190.0;
    apply_own_record(report.profile, own);
    report.own = own;
    const std::string text = site_text(report, kMetric);
    EXPECT_TRUE(says(line_with(text, "Jul"), "Jul 190.0 own 23.0"));
    EXPECT_FALSE(says(line_with(text, "Jun"), "own"));
    EXPECT_TRUE(
        says(text, "your own monthly data, used in place of the database's, mine.csv (ETo Jul)"));
}

TEST(SiteText, StatesThatEtoIsMissing) {
    const std::string text = site_text(test::merrow_report({.no_eto_at_all = true}), kMetric);
    EXPECT_TRUE(says(text, "ETo is zero in every month."));
}

TEST(SiteText, ShowsStepsWhenAsked) {
    const std::string weeks = site_text(test::merrow_report({}, StepLength::week), kMetric);
    EXPECT_NE(line_with(weeks, "Week from"), "");
    EXPECT_NE(line_with(weeks, "24 Dec"), "");
    const std::string days = site_text(test::merrow_report({}, StepLength::day), kMetric);
    EXPECT_NE(line_with(days, "31 Dec"), "");
}

}  // namespace
}  // namespace thirstline
