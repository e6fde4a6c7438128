// The summary at the end of `check`.
#include "builder/report/coverage_summary.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::plain;
using test::plain_climate;
using test::Region;

constexpr std::uint16_t kYear = (1U << kMonths) - 1U;

/// `rows` by `columns` places at whole degrees, the first at 40° N, 10° W, all with every driver.
LatticeCoverage full_coverage(int rows, int columns) {
    LatticeCoverage coverage;
    coverage.rows = rows;
    coverage.columns = columns;
    for (int row = 0; row < rows; ++row) {
        for (int column = 0; column < columns; ++column) {
            CoveredPlace place;
            place.position = {40.0 + row, -10.0 + column};
            place.row = row;
            place.column = column;
            place.has_data = true;
            place.months.fill(kYear);
            coverage.places.push_back(place);
        }
    }
    coverage.places_with_data = rows * columns;
    return coverage;
}

std::uint16_t& months(CoveredPlace& place, Need need) {
    return place.months[static_cast<std::size_t>(need)];
}

TEST(CoverageSummary, NothingIsMissing) {
    const LatticeCoverage coverage = full_coverage(6, 9);
    EXPECT_TRUE(gaps_of(coverage).empty());
    for (const int percent : covered_percent(coverage, Need::wind)) EXPECT_EQ(percent, 100);
    const CoverageMap map = coverage_map(coverage);
    ASSERT_EQ(map.rows, (std::vector<std::string>(3, "#########")));
    ASSERT_EQ(map.legend.size(), 1U);
    EXPECT_NE(coverage_text(coverage).find("nothing is missing\n"), std::string::npos);
}

TEST(CoverageSummary, WhatIsMissingWhereAndWhen) {
    LatticeCoverage coverage = full_coverage(9, 9);
    for (CoveredPlace& place : coverage.places) {
        if (place.row >= 6 && place.column < 3) months(place, Need::wind) = 0;
        months(place, Need::radiation) = 0;
        if (place.row == 0 && place.column == 8) months(place, Need::rain) = kYear & ~0b11U;
    }
    const std::vector<Gap> lacks = gaps_of(coverage);
    ASSERT_EQ(lacks.size(), 3U);
    EXPECT_EQ(lacks[0].need, Need::rain);
    EXPECT_EQ(lacks[0].places, 1);
    EXPECT_EQ(lacks[0].where, "at scattered places");
    EXPECT_EQ(lacks[0].months, (std::vector<int>{1, 2}));
    EXPECT_EQ(lacks[1].need, Need::wind);
    EXPECT_EQ(lacks[1].places, 9);
    EXPECT_NEAR(lacks[1].percent, 100.0 / 9.0, 1e-9);
    EXPECT_EQ(lacks[1].where, "mostly in the north-west");
    EXPECT_EQ(lacks[1].months.size(), 12U);
    EXPECT_NE(lacks[1].helpful_source.find("wind speed"), std::string::npos);
    EXPECT_EQ(lacks[2].where, "everywhere");
    EXPECT_EQ(covered_percent(coverage, Need::wind)[5], 88);
    EXPECT_EQ(covered_percent(coverage, Need::rain)[0], 98);
    EXPECT_EQ(covered_percent(coverage, Need::rain)[2], 100);
    EXPECT_EQ(covered_percent(coverage, Need::radiation)[11], 0);

    const CoverageMap map = coverage_map(coverage);
    ASSERT_EQ(map.rows.size(), 5U);
    EXPECT_EQ(map.rows.front(), "222ssssss");
    EXPECT_EQ(map.rows.back(), "sssssssss");
    EXPECT_EQ(map.north_deg, 48.0);
    EXPECT_EQ(map.west_deg, -10.0);
    const std::string text = coverage_text(coverage);
    EXPECT_NE(text.find("rain: missing at 1 point (1%), at scattered places, in Jan and Feb; "),
              std::string::npos)
        << text;
}

TEST(CoverageSummary, TheMapIsSmallAndEverySignIsExplained) {
    LatticeCoverage coverage = full_coverage(200, 300);
    int number = 0;
    for (CoveredPlace& place : coverage.places) {
        const int kind = place.column / 34;  // nine stripes
        if (kind == 0) place = {place.position, place.row, place.column, false, {}};
        if (kind == 1) months(place, Need::rain) = 0;
        if (kind == 2 || kind == 5) months(place, Need::radiation) = 0;
        if (kind == 3 || kind == 6) months(place, Need::humidity) = 1;
        if (kind == 4 || kind == 5 || kind == 6) months(place, Need::wind) = kYear & ~1U;
        if (kind == 6) months(place, Need::radiation) = 0;
        if (kind == 7) months(place, Need::temperature) = 0;
        number += kind == 0 ? 1 : 0;
    }
    coverage.places_with_data -= number;
    const CoverageMap map = coverage_map(coverage);
    EXPECT_EQ(map.rows.size(), 20U);
    std::string signs;
    for (const std::string& row : map.rows) {
        EXPECT_EQ(row.size(), 60U);
        EXPECT_EQ(row.substr(0, 6), "      ");
        for (const char sign : row)
            if (sign != ' ' && signs.find(sign) == std::string::npos) signs += sign;
    }
    EXPECT_EQ(signs, "rshw2tx#");
    ASSERT_EQ(map.legend.size(), signs.size());
    for (const auto& [sign, meaning] : map.legend) {
        EXPECT_NE(signs.find(sign), std::string::npos) << sign;
        EXPECT_FALSE(meaning.empty());
    }
}

TEST(CoverageSummary, ALatticeOfOnePointHasAMap) {
    const CoverageMap map = coverage_map(full_coverage(1, 1));
    EXPECT_EQ(map.rows, std::vector<std::string>{"#"});
    EXPECT_NE(coverage_text(full_coverage(1, 1)).find("|#|"), std::string::npos);
}

/// Wind only in the west, no humidity at all.
class CheckSummary : public testing::Test {
  protected:
    void SetUp() override {
        const RasterShape shape = north_up(8.0, 51.0, 1.0, 8, 8);
        using enum Variable;
        for (const Variable variable : {tmax, tmin, radiation, rain})
            region_.add_grid(variable, shape, plain(variable));
        region_.add_grid(wind, shape, [](LatLon at, int month) {
            return at.lon_deg > 12.0 ? std::nan("") : plain_climate(Variable::wind, at, month);
        });
        recipe_ = region_.write_recipe();
    }
    Region region_;
    std::string recipe_;
};

TEST_F(CheckSummary, TextShowsWhatASourceGivesAndWhatIsMissing) {
    const test::ProgramRun run = builder({"check", recipe_});
    EXPECT_EQ(run.status, 0);
    for (const char* part :
         {"SOURCES\n", "wind of the Merrow", "COVERAGE at 49 points with data, of 49 surveyed",
          "humidity         0   0", "wind: missing at ",
          "humidity: missing at 49 points (100%), "
          "everywhere; ",
          "To add: a grid of vapour_pressure, dew_point or specific_humidity", "none rejected"}) {
        EXPECT_NE(run.out.find(part), std::string::npos) << part << "\n" << run.out;
    }
    EXPECT_NE(run.out.find(" would be built\n"), std::string::npos);
    for (std::size_t at = 0; at < run.out.size();) {
        const std::size_t end = run.out.find('\n', at);
        EXPECT_LE(end - at, 200U) << run.out.substr(at, end - at);
        at = end + 1;
    }
}

TEST_F(CheckSummary, JsonSaysTheSame) {
    const Json json = Json::parse(builder({"check", recipe_, "--format", "json"}).out);
    const Json& coverage = json["coverage"];
    EXPECT_EQ(coverage["points_surveyed"], 49);
    EXPECT_EQ(coverage["points_with_data"], 49);
    EXPECT_EQ(coverage["percent_by_month"]["temperature"], Json(std::vector<int>(12, 100)));
    EXPECT_EQ(coverage["percent_by_month"]["humidity"], Json(std::vector<int>(12, 0)));
    ASSERT_EQ(coverage["missing"].size(), 2U);
    EXPECT_EQ(coverage["missing"][0]["variable"], "humidity");
    EXPECT_EQ(coverage["missing"][1]["variable"], "wind");
    EXPECT_NE(coverage["missing"][1]["where"].get<std::string>().find("east"), std::string::npos);
    EXPECT_EQ(coverage["map"]["rows"].size(), 4U);
    EXPECT_EQ(json["counts"]["sources"][0]["points_with_data"], 49);
    EXPECT_LT(json["counts"]["sources"][4]["points_with_data"], 49);
}

}  // namespace
}  // namespace thirstline
