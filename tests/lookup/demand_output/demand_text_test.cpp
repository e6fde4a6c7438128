#include "lookup/demand_output/demand_text.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "schema/text/text_wrapping.hpp"
#include "tests/support/demand_reports.hpp"
#include "tests/support/lines_of_text.hpp"
#include "tests/support/text_styles.hpp"

namespace thirstline {
namespace {

using test::line_with;
using test::lines_of;
using test::says;

constexpr TextStyle kPlain{UnitSystem::us, false};

TEST(DemandText, FitsTheScreen) {
    for (const std::string& zones : {test::three_zones(), test::three_zones_of_a_strict_town()}) {
        const DemandReport report = test::merrow_demand(zones);
        for (const TextStyle& style : {kMetric, kInches, kPlain}) {
            for (const std::size_t columns : {kTextColumns, kWideColumns}) {
                for (const std::string& line : lines_of(demand_text(report, style, columns))) {
                    EXPECT_LE(columns_of(line), columns) << line;
                    EXPECT_FALSE(line.ends_with(' ')) << line;
                }
            }
        }
    }
}

TEST(DemandText, TellsWhatToEnterFirst) {
    const std::string text = demand_text(test::merrow_demand(test::three_zones()), kInches, 80);
    std::size_t before = 0;
    for (const char* part :
         {"Merrow Ford, XM 4021", "The plan keeps every rule", "Set the controller",
          "Then enter each month's percentage", "Rain shut-off", "north lawn, month by month",
          "The year's water and its cost", "How sure", "Taken for granted", "Local rules as given",
          "Cautions", "About the climate's numbers", "Sources"}) {
        const std::size_t at = text.find(part);
        ASSERT_NE(at, std::string::npos) << part << "\n" << text;
        EXPECT_GE(at, before) << part;
        before = at;
    }
}

TEST(DemandText, TellsConflictsLoudlyBeforeAnythingElse) {
    const DemandReport report = test::merrow_demand(test::three_zones_of_a_strict_town());
    const std::string text = demand_text(report, kMetric, 80);
    for (const ZonePlan& zone : report.plan.zones) {
        ASSERT_FALSE(zone.conflicts.empty());
        const Conflict& worst = *std::max_element(
            zone.conflicts.begin(), zone.conflicts.end(),
            [](const Conflict& a, const Conflict& b) { return a.short_mm < b.short_mm; });
        EXPECT_TRUE(
            says(text, "short by " + worst.short_by + ". It would help: " + worst.remedy + "."))
            << worst.short_by;
    }
    const std::size_t alarm = text.find("*** RULES AND NEED COLLIDE ***");
    ASSERT_NE(alarm, std::string::npos);
    EXPECT_LT(alarm, text.find("Set the controller"));
    EXPECT_TRUE(says(text, "! north lawn, July: "));
    EXPECT_TRUE(says(text, "It would help: "));
    EXPECT_EQ(text.find("keeps every rule"), std::string::npos);
    EXPECT_TRUE(says(text, "the saving says little"));
}

TEST(DemandText, SaysWhatToSwitchOff) {
    DemandReport report = test::merrow_demand(test::three_zones());
    report.plan.site.curve.percent_to_enter.fill(20);
    report.plan.zones[0].months[0].net_mm = 0.0;
    report.plan.zones[1].months[3].net_mm = 0.0;
    report.plan.zones[1].months[3].dormant = false;
    const std::string text = demand_text(report, kMetric, 80);
    const std::size_t at = text.find("Switch off what is dormant or needs nothing: ");
    ASSERT_NE(at, std::string::npos);
    const std::string sentence = text.substr(at, text.find("\n\n", at) - at);
    EXPECT_TRUE(says(sentence, "north lawn in Jan")) << sentence;
    EXPECT_TRUE(says(sentence, "Apr")) << sentence;
    EXPECT_TRUE(says(sentence, "shrub border in ")) << sentence;
}

TEST(DemandText, ShowsAMonthOfAZoneALine) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string text = demand_text(report, kMetric, 80);
    const std::string table = text.substr(text.find("north lawn, month by month"));
    // July's ETo is 5.68 mm/day · 31 days = 176.08; cool turf takes 0.8 of it, 140.9 mm. No rain is
    // credited in the peak month; DU 0.65 asks for 1 / (0.4 + 0.6 · 0.65) = 1.2658 of it, 178.3.
    EXPECT_TRUE(says(line_with(table, "Jul"), "Jul 140.9 0.0 140.9 178.3 100 ")) << table;
    EXPECT_TRUE(says(line_with(table, "Jan"), "dormant")) << table;
    const std::string narrow = demand_text(report, kMetric, kTextColumns);
    const std::string short_table = narrow.substr(narrow.find("north lawn, month by month"));
    EXPECT_TRUE(says(line_with(short_table, "Jul"), "Jul 140.9 0.0 140.9 100 "));
    EXPECT_TRUE(says(short_table, "Dormant: Jan, Dec"));
}

TEST(DemandText, ShowsTwelvePercentagesEitherWay) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string wide = demand_text(report, kMetric, kWideColumns);
    const std::string narrow = demand_text(report, kMetric, kTextColumns);
    std::string numbers;
    std::string found;
    for (std::size_t m = 0; m < kMonths; ++m) {
        numbers += " " + std::to_string(report.plan.site.curve.percent_to_enter[m]) +
                   (report.plan.site.curve.days_cut_first[m] ? "*" : "");
    }
    EXPECT_TRUE(says(line_with(wide, "Enter, %"), "Enter, %" + numbers)) << wide;
    for (const std::string& line : lines_of(narrow)) {
        if (line.starts_with("Enter, %")) found += line.substr(std::string("Enter, %").size());
    }
    EXPECT_TRUE(says(found, numbers.substr(1))) << found;
}

TEST(DemandText, NamesEachAssumptionWithItsSourceAndStanding) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string text = demand_text(report, kMetric, 80);
    for (const ZonePlan& zone : report.plan.zones) {
        for (const Assumption& assumption : zone.assumed) {
            EXPECT_TRUE(says(text, assumption.value)) << assumption.value;
            EXPECT_TRUE(says(text, "(" + std::string(basis_name(assumption.basis)) + ")"));
        }
    }
    EXPECT_TRUE(says(text, "for north lawn and shrub border")) << text;
}

TEST(DemandText, IsHonestAboutWhatIsNotKnown) {
    const std::string with = demand_text(test::merrow_demand(test::three_zones()), kMetric, 80);
    EXPECT_TRUE(says(with, "it is not a dry year"));
    const std::string without = demand_text(
        test::merrow_demand(test::three_zones(), {.standard_errors = false}), kMetric, 80);
    EXPECT_EQ(without.find("±"), std::string::npos);
    EXPECT_TRUE(says(without, "states no standard errors"));
    std::string unpriced = test::three_zones();
    const std::size_t water = unpriced.find("[water]");
    unpriced.erase(water, unpriced.find("[[zone]]") - water);
    const std::string text = demand_text(test::merrow_demand(unpriced), kMetric, 80);
    EXPECT_TRUE(says(text, "No water price was given"));
    EXPECT_EQ(text.find("MRW"), std::string::npos);
    EXPECT_TRUE(says(with, "MRW "));
}

TEST(DemandText, SaysWhenThereIsNoNeedAtAll) {
    const DemandReport report = test::merrow_demand(test::three_zones(), {.no_eto_at_all = true});
    const std::string text = demand_text(report, kMetric, 80);
    EXPECT_TRUE(says(text, "no watering: no month has a need")) << text;
}

TEST(DemandText, IsAsciiWhereTheLocaleIs) {
    for (const char c : demand_text(test::merrow_demand(test::three_zones()), kPlain, 80)) {
        ASSERT_LT(static_cast<unsigned char>(c), 0x80U);
    }
}

}  // namespace
}  // namespace thirstline
