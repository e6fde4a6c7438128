#include "lookup/demand_output/demand_csv.hpp"

#include <gtest/gtest.h>

#include "schema/files/csv_rows.hpp"
#include "schema/text/rounding.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

std::vector<std::vector<std::string>> rows_of(const std::string& csv) {
    std::size_t at = 0;
    auto reader = CsvReader::over("csv", [&](char* buffer, std::size_t capacity) {
        const std::size_t count = csv.copy(buffer, capacity, at);
        at += count;
        return Result<std::size_t>(count);
    });
    std::vector<std::vector<std::string>> rows;
    for (CsvRow row; reader.next(row).value();) {
        rows.emplace_back();
        for (std::size_t i = 0; i < row.size(); ++i) rows.back().emplace_back(row.field(i));
    }
    return rows;
}

TEST(DemandCsv, HasARowAZoneAndMonthUnderFixedHeaders) {
    const auto rows =
        rows_of(demand_csv(test::merrow_demand(test::three_zones()), UnitSystem::metric));
    ASSERT_EQ(rows.size(), 1U + 3 * 12);
    EXPECT_EQ(rows[0], (std::vector<std::string>{"zone",
                                                 "month",
                                                 "days",
                                                 "need_mm",
                                                 "effective_rain_mm",
                                                 "net_mm",
                                                 "gross_mm",
                                                 "applied_mm",
                                                 "short_mm",
                                                 "excess_mm",
                                                 "wanted_minutes_per_week",
                                                 "minutes_per_week",
                                                 "days_per_week",
                                                 "day_names",
                                                 "cycles_per_day",
                                                 "minutes_per_cycle",
                                                 "soak_minutes",
                                                 "interval_days",
                                                 "percent_of_peak_need",
                                                 "program",
                                                 "base_minutes_per_day",
                                                 "base_days_per_week",
                                                 "percent",
                                                 "applied_by_percentage_mm",
                                                 "excess_by_percentage_mm",
                                                 "volume_l",
                                                 "cost",
                                                 "dormant",
                                                 "conflicts"}));
    for (const auto& row : rows) EXPECT_EQ(row.size(), rows[0].size());
    EXPECT_EQ(rows[1][0], "north lawn");
    EXPECT_EQ(rows[1][27], "true");
    // July: 5.68 mm/day · 31 days · 0.8 = 140.9 mm; gross · 1.2658
    EXPECT_EQ(rows[7][1], "7");
    EXPECT_EQ(rows[7][3], "140.9");
    EXPECT_EQ(rows[7][6], "178.3");
    EXPECT_EQ(rows[36][0], "play meadow");
    EXPECT_EQ(rows[36][1], "12");
}

TEST(DemandCsv, ConvertsToUsUnits) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const auto rows = rows_of(demand_csv(report, UnitSystem::us));
    EXPECT_EQ(rows[0][3], "need_in");
    EXPECT_EQ(rows[0][25], "volume_gal");
    EXPECT_EQ(rows[7][3], "5.55");  // 140.864 / 25.4
    EXPECT_EQ(rows[7][25], fixed(report.plan.zones[0].months[6].volume_l / 3.785411784, 1));
}

TEST(DemandCsv, NamesConflictsAndQuotesWhatNeedsIt) {
    const auto rows = rows_of(demand_csv(test::full_demand(), UnitSystem::metric));
    ASSERT_EQ(rows.size(), 1U + 3 * 12);
    EXPECT_EQ(rows[1][0], test::kHostileName);
    EXPECT_NE(rows[7][28].find("window_hours"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
