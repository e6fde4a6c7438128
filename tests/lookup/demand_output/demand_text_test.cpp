#include "lookup/demand_output/demand_text.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "lookup/demand_output/demand_sentences.hpp"
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

TEST(DemandText, PutsCautionsAndSettingsFirst) {
    const std::string text = demand_text(test::merrow_demand(test::three_zones()), kInches, 80);
    std::size_t before = 0;
    for (const char* part :
         {"Merrow Ford, XM 4021", "Cautions", "The schedule meets all rules entered.",
          "Base schedule (peak month = 100%)", "Seasonal adjustment by month (%)", "Rain sensor",
          "north lawn: days and minutes by month", "Water use and cost by year", "Uncertainty",
          "Assumptions and defaults", "Watering rules used", "About the climate's numbers",
          "Sources"}) {
        const std::size_t at = text.find(part);
        ASSERT_NE(at, std::string::npos) << part << "\n" << text;
        EXPECT_GE(at, before) << part;
        before = at;
    }
}

TEST(DemandText, PutsConflictsBeforeTheSettings) {
    const DemandReport report = test::merrow_demand(test::three_zones_of_a_strict_town());
    const std::string text = demand_text(report, kMetric, 80);
    for (const ZonePlan& zone : report.plan.zones) ASSERT_FALSE(zone.conflicts.empty());
    const std::size_t alarm = text.find("*** SOME ZONES GET LESS WATER THAN THEY NEED ***");
    ASSERT_NE(alarm, std::string::npos);
    EXPECT_LT(alarm, text.find("Base schedule"));
    EXPECT_TRUE(says(text, "; short by "));
    EXPECT_TRUE(says(text, ". To fix: "));
    EXPECT_EQ(text.find("meets all rules"), std::string::npos);
    EXPECT_TRUE(says(text, "do not quote the savings"));
}

/// Sixty zones alike: each is named, with its month, amount and remedy; what is the same for
/// several zones is said once.
TEST(DemandText, NamesEveryZoneThatIsShort) {
    std::string zones = "[site]\nallowed_days = [\"Mon\"]\nwindow_hours = 0.5\n";
    for (int z = 1; z <= 60; ++z) {
        zones += "[[zone]]\nname = \"bed " + std::to_string(z) +
                 "\"\nplanting = \"cool turf\"\narea_m2 = 90\nrate_mm_per_h = 20\n";
    }
    const DemandReport report = test::merrow_demand(zones);
    const std::vector<std::string> sentences = conflict_sentences(report, kMetric);
    EXPECT_LE(sentences.size(), 12U);
    std::string all;
    for (const std::string& sentence : sentences) {
        EXPECT_TRUE(says(sentence, "To fix: ")) << sentence;
        all += sentence.substr(0, sentence.find(", July:")) + ", ";
    }
    for (int z = 1; z <= 60; ++z) {
        const std::string name = "bed " + std::to_string(z);
        EXPECT_TRUE(says(all, name + ", ") || says(all, name + " and ")) << name << "\n" << all;
    }
}

// The months after the worst one are those of less shortage, whatever their order in the year.
TEST(DemandText, NamesTheWorstMonthFirst) {
    DemandReport report = test::merrow_demand(test::three_zones());
    Conflict april{4, "allowed_days", std::string("1 day"), std::string("more days")};
    april.drawn_mm = 6.7;
    Conflict july = april;
    july.month = 7;
    july.drawn_mm = 16.4;
    report.plan.zones[0].conflicts = {april, july};
    EXPECT_TRUE(says(demand_text(report, kMetric, 80), "north lawn, July: "));
    EXPECT_TRUE(says(demand_text(report, kMetric, 80), "Also in Apr, by less."));
}

TEST(DemandText, SaysWhatToSwitchOff) {
    DemandReport report = test::merrow_demand(test::three_zones());
    for (ProgramPlan& program : report.plan.site.programs) program.percent.fill(20);
    for (ZonePlan& zone : report.plan.zones) {
        for (ZoneMonth& month : zone.months) month.off = Off::no;
    }
    report.plan.zones[0].months[0].off = Off::dormant;
    report.plan.zones[1].months[3].off = Off::no_need;
    const std::string text = demand_text(report, kMetric, 80);
    EXPECT_TRUE(says(text, "Turn these zones off: north lawn in Jan; shrub border in Apr."))
        << text;
}

TEST(DemandText, ShowsAMonthOfAZoneALine) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string text = demand_text(report, kMetric, 80);
    const std::string table = text.substr(text.find("north lawn: days and minutes by month"));
    // July's ETo is 5.68 mm/day · 31 days = 176.08; cool turf takes 0.8 of it, 140.9 mm. No rain is
    // credited in the peak month; DU 0.65 asks for 1 / (0.4 + 0.6 · 0.65) = 1.2658 of it, 178.3.
    EXPECT_TRUE(says(line_with(table, "Jul"), "Jul 140.9 0.0 140.9 178.3 100 ")) << table;
    EXPECT_TRUE(says(line_with(table, "Jan"), "dormant")) << table;
    const std::string narrow = demand_text(report, kMetric, kTextColumns);
    const std::string short_table =
        narrow.substr(narrow.find("north lawn: days and minutes by month"));
    EXPECT_TRUE(says(line_with(short_table, "Jul"), "Jul 140.9 0.0 140.9 100 "));
    EXPECT_TRUE(says(short_table, "Dormant: Jan and Dec"));
}

TEST(DemandText, ShowsTwelvePercentagesEitherWay) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string wide = demand_text(report, kMetric, kWideColumns);
    const std::string narrow = demand_text(report, kMetric, kTextColumns);
    ASSERT_FALSE(report.plan.site.programs.empty());
    const std::string label = "Program 1, %";
    std::string numbers;
    std::string found;
    for (const int percent : report.plan.site.programs[0].percent) {
        numbers += " " + std::to_string(percent);
    }
    EXPECT_TRUE(says(line_with(wide, label), label + numbers)) << wide;
    for (const std::string& line : lines_of(narrow)) {
        if (line.starts_with(label)) found += line.substr(label.size());
    }
    EXPECT_TRUE(says(found, numbers.substr(1))) << found;
}

TEST(DemandText, NamesEachAssumptionWithItsSourceAndBasis) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string text = demand_text(report, kMetric, 80);
    for (const ZonePlan& zone : report.plan.zones) {
        for (const Assumption& assumption : zone.assumed) {
            EXPECT_TRUE(says(text, english(assumption.value))) << english(assumption.value);
            EXPECT_TRUE(says(text, "(" + english(basis_name(assumption.basis)) + ")"));
        }
    }
    EXPECT_TRUE(says(text, "for north lawn and shrub border")) << text;
}

TEST(DemandText, StatesWhatIsUnknown) {
    const std::string with = demand_text(test::merrow_demand(test::three_zones()), kMetric, 80);
    EXPECT_TRUE(says(with, "not an 80th-percentile dry year"));
    const std::string without = demand_text(
        test::merrow_demand(test::three_zones(), {.standard_errors = false}), kMetric, 80);
    EXPECT_EQ(without.find("±"), std::string::npos);
    EXPECT_TRUE(says(without, "no uncertainty can be given"));
    std::string unpriced = test::three_zones();
    const std::size_t water = unpriced.find("[water]");
    unpriced.erase(water, unpriced.find("[[zone]]") - water);
    const std::string text = demand_text(test::merrow_demand(unpriced), kMetric, 80);
    EXPECT_TRUE(says(text, "No water price given"));
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
