// The report: its content and its form.
#include "builder/publish/report_page.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "builder/publish/report_maps.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/base/sha256.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/published_sites.hpp"

namespace thirstline {
namespace {

using test::builder;

class ReportPage : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (!report_.empty()) return;
        const std::string recipe = THIRSTLINE_SAMPLE_INPUTS "/merrow.toml";
        const std::string file = folder_ / "merrow.sqlite";
        ASSERT_EQ(builder({"build", recipe, "-o", file}).status, 0);
        const auto scores = builder({"evaluate", recipe, "--folds", "3", "--format", "json"});
        ASSERT_EQ(scores.status, 0);
        test::write_text(folder_ / "scores.json", scores.out);
        const auto outcome = test::published(
            file, {folder_ / "site", false, {folder_ / "scores.json"}, {recipe}, {}});
        ASSERT_TRUE(outcome) << outcome.error().message;
        report_ = test::content_of(folder_ / "site/report.html");
        baseline_ = test::PublishedSite(folder_ / "site").baseline();
        scores_ = nlohmann::json::parse(scores.out);
    }
    static void expect_says(const std::string& text) {
        EXPECT_NE(report_.find(text), std::string::npos) << text;
    }

    TempFolder folder_;
    static inline std::string report_;
    static inline nlohmann::json baseline_;
    static inline nlohmann::json scores_;
};

TEST_F(ReportPage, ContainsWhatAnAgencyMustKnow) {
    for (const char* key : {"title", "region", "publisher", "notice", "period", "content_sha256"})
        expect_says(baseline_[key].get<std::string>());
    for (const auto& source : baseline_["sources"])
        for (const char* key : {"name", "variable", "period", "licence", "attribution", "url"})
            expect_says(source[key].get<std::string>());
    for (const auto& download : baseline_["downloads"]) {
        expect_says(download["sha256"].get<std::string>());
        expect_says("href=\"" + download["name"].get<std::string>() + "\"");
    }
    for (const char* words :
         {"Upper Thessle Moor", "Penman–Monteith", "equation 6", "Annex 6",
          "Local watering rules come first", "A normal is not a forecast", "licensed contractors",
          "1,423 points", "thirstline-builder build merrow.toml", "spacing_arcsec = 120"})
        expect_says(words);
}

TEST_F(ReportPage, HasTheSumOfEveryInputFile) {
    // As coreutils reckon it.
    for (const char* name : {"tmax.tif", "elevation.tif", "merrow-postal.csv", "rain.nc"}) {
        Sha256 hash;
        hash.add(test::content_of(std::string(THIRSTLINE_SAMPLE_INPUTS "/") + name));
        expect_says(hash.hex_digest() + "  " + name);
    }
}

TEST_F(ReportPage, HasTheScoresThatEvaluateGave) {
    int found = 0;
    for (const auto& row : scores_["scores"]) {
        if (row["region"] != "world" || row["month"] != 0 || row["distance_class"] != "all" ||
            row["estimator"] != "fused")
            continue;
        ++found;
        expect_says("<td class=\"number\">" + fixed_text(row["mae"].get<double>(), 2) + "</td>");
    }
    EXPECT_GE(found, 6);
    // Rain's coverage by distance, which a file with stations always has.
    for (const auto& row : scores_["scores"]) {
        if (row["region"] == "world" && row["month"] == 0 && row["estimator"] == "fused" &&
            row["coverage_90"].is_number())
            expect_says(fixed_text(100.0 * row["coverage_90"].get<double>(), 0) + "%</td>");
    }
}

TEST_F(ReportPage, PutsTheColumnsOfCoverageInOrderOfDistance) {
    const std::size_t table = report_.find("Coverage of the 90% interval by distance");
    ASSERT_NE(table, std::string::npos);
    const std::string head = report_.substr(table, report_.find("</thead>", table) - table);
    std::size_t last = 0;
    int columns = 0;
    for (const char* name :
         {"0-25 km", "25-50 km", "50-100 km", "100-250 km", "250+ km", "weighted by grid points"}) {
        const std::size_t at = head.find(">" + std::string(name) + "<");
        if (at == std::string::npos) continue;
        EXPECT_GT(at, last) << name;
        last = at;
        ++columns;
    }
    EXPECT_GE(columns, 3) << head;
}

TEST_F(ReportPage, IsOnePageWithoutScriptOrOtherFiles) {
    EXPECT_EQ(report_.find("<script"), std::string::npos);
    EXPECT_EQ(report_.find("src="), std::string::npos);
    EXPECT_EQ(report_.find("<link"), std::string::npos);
    EXPECT_EQ(report_.find("url("), std::string::npos);
    EXPECT_EQ(report_.find(" style="), std::string::npos);
    // The policy allows this one style sheet, by its hash.
    const std::size_t begin = report_.find("<style>") + 7;
    Sha256 hash;
    hash.add(report_.substr(begin, report_.find("</style>") - begin));
    expect_says("style-src 'sha256-" + hash.base64_digest() + "'");
}

TEST_F(ReportPage, RejectsAWrongEvaluationBeforeWriting) {
    const std::string file = folder_ / "another.sqlite";
    ASSERT_EQ(builder({"build", THIRSTLINE_SAMPLE_INPUTS "/merrow.toml", "-o", file}).status, 0);
    for (const char* text : {"", "{}", "[1, 2]", "{\"scores\": 5}", "{\"scores\": [1, null, []]}",
                             "{\"scores\": [{\"variable\": 1}]}"}) {
        test::write_text(folder_ / "bad.json", text);
        const auto outcome =
            test::published(file, {folder_ / "none", false, {folder_ / "bad.json"}, {}, {}});
        ASSERT_FALSE(outcome) << text;
        EXPECT_EQ(outcome.error().code, ErrorCode::bad_input) << text;
    }
    const auto missing =
        test::published(file, {folder_ / "none", false, {}, {folder_ / "no.toml"}, {}});
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().code, ErrorCode::io);
    EXPECT_FALSE(std::filesystem::exists(folder_ / "none"));
}

TEST(ReportMaps, DivideTheirValuesAtRoundBounds) {
    std::vector<double> values;
    for (int i = 0; i <= 600; ++i) values.push_back(300.0 + i);
    EXPECT_EQ(class_bounds(values), (std::vector<double>{400, 500, 600, 700, 800}));
    EXPECT_TRUE(class_bounds({}).empty());
    EXPECT_TRUE(class_bounds({5.0, 5.0}).empty());
    EXPECT_EQ(class_bounds({1.0, 2.0}), (std::vector<double>{2.0}));
}

TEST(ReportMaps, BoundsOfAChangeAreSymmetrical) {
    std::vector<double> changes;
    for (int i = -20; i <= 100; ++i) changes.push_back(i);
    // Of 120 amounts other than 0 the median is 41 and the 90th percentile 89.
    EXPECT_EQ(change_bounds(changes), (std::vector<double>{-90, -40, 0, 40, 90}));
    EXPECT_TRUE(change_bounds({0.0, 0.0}).empty());
    EXPECT_EQ(change_bounds({7.0, 7.0}), (std::vector<double>{-14, -7, 0, 7, 14}));
}

TEST(ReportText, WritesNumbersAsPeopleDo) {
    EXPECT_EQ(counted_text(1'234'567), "1,234,567");
    EXPECT_EQ(fixed_text(-0.004, 2), "0.00");
    EXPECT_EQ(fixed_text(-1234.5, 1), "−1,234.5");
    EXPECT_EQ(size_text(999), "999 bytes");
    EXPECT_EQ(size_text(23'866'229), "23.9 MB");
    EXPECT_EQ(preformatted("a <b>\r\n\n c"), "<pre>a &lt;b&gt;\n\n c\n</pre>\n");
}

}  // namespace
}  // namespace thirstline
