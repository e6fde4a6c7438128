#include "lookup/site_output/site_json.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/support/site_report_of_merrow.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::ordered_json;
using Names = std::vector<std::string>;

Json parsed(const SiteReport& report, JsonLayout layout = JsonLayout::indented) {
    return Json::parse(site_json(report, layout));
}

Names names_of(const Json& object) {
    Names names;
    for (const auto& [name, value] : object.items()) names.push_back(name);
    return names;
}

TEST(SiteJson, HasTheNamesOfTheInterface) {
    const Json json = parsed(test::merrow_report());
    EXPECT_EQ(names_of(json), (Names{"schema_version", "query", "found", "point", "months",
                                     "annual", "peak_month", "season", "sources", "baseline"}));
    EXPECT_EQ(names_of(json["query"]), (Names{"lat", "lon", "postal", "country", "elevation_m"}));
    EXPECT_EQ(names_of(json["point"]), (Names{"lat", "lon", "elevation_m", "distance_km", "method",
                                              "method_note", "period", "site_correction"}));
    ASSERT_EQ(json["months"].size(), 12U);
    for (const Json& month : json["months"]) {
        EXPECT_EQ(names_of(month),
                  (Names{"month", "days", "eto_mm", "eto_mm_per_day", "eto_se_mm", "rain_mm",
                         "rain_se_mm", "tmax_c", "tmin_c", "percent_of_peak", "method"}));
    }
    EXPECT_EQ(names_of(json["annual"]), (Names{"eto_mm", "rain_mm"}));
    ASSERT_EQ(json["sources"].size(), 2U);
    for (const char* name : {"name", "period", "licence", "attribution"}) {
        EXPECT_TRUE(json["sources"][0].contains(name)) << name;
    }
    for (const char* name : {"title", "period", "reference", "site_correction", "notice"}) {
        EXPECT_TRUE(json["baseline"].contains(name)) << name;
    }
}

TEST(SiteJson, HasRoundedMetricNumbers) {
    const Json json = parsed(test::merrow_report());
    EXPECT_EQ(json["schema_version"], 1);
    EXPECT_EQ(json["found"], true);
    EXPECT_EQ(json["query"]["lat"], 47.25);
    EXPECT_EQ(json["query"]["lon"], -30.5);
    EXPECT_TRUE(json["query"]["elevation_m"].is_null());
    EXPECT_TRUE(json["query"]["postal"].is_null());
    EXPECT_EQ(json["point"]["lat"], 47.25);
    EXPECT_EQ(json["point"]["elevation_m"], 140.0);
    EXPECT_EQ(json["point"]["distance_km"], 0.0);
    EXPECT_EQ(json["point"]["method"], "penman-monteith");
    EXPECT_EQ(json["point"]["period"], "1991-2020");
    EXPECT_EQ(json["point"]["site_correction"], "reference");
    EXPECT_EQ(json["peak_month"], 7);
    // July: 5.68 mm/day · 31 = 176.08; the error 0.20 · 31 = 6.2
    const Json& july = json["months"][6];
    EXPECT_EQ(july["month"], 7);
    EXPECT_EQ(july["days"], 31);
    EXPECT_TRUE(july["days"].is_number_integer());
    EXPECT_EQ(july["eto_mm"], 176.1);
    EXPECT_EQ(july["eto_mm_per_day"], 5.68);
    EXPECT_EQ(july["eto_se_mm"], 6.2);
    EXPECT_EQ(july["rain_mm"], 23.0);
    EXPECT_EQ(july["rain_se_mm"], 10.0);
    EXPECT_EQ(july["tmax_c"], 12.5);
    EXPECT_EQ(july["tmin_c"], -3.0);
    EXPECT_EQ(july["percent_of_peak"], 100.0);
    // February: 0.83 mm/day · 28.25 = 23.4475; 83/568 = 14.61 %
    const Json& february = json["months"][1];
    EXPECT_EQ(february["days"], 28.25);
    EXPECT_EQ(february["eto_mm"], 23.4);
    EXPECT_EQ(february["percent_of_peak"], 14.6);
    EXPECT_EQ(json["annual"]["rain_mm"], 835.0 + 12 * 8);
}

TEST(SiteJson, NullsWhatIsUnknownAndDropsTemperatureThatTheFileLacks) {
    const Json bare = parsed(test::merrow_report({.temperature = false, .standard_errors = false}));
    for (const Json& month : bare["months"]) {
        EXPECT_FALSE(month.contains("tmax_c"));
        EXPECT_FALSE(month.contains("tmin_c"));
        EXPECT_TRUE(month["eto_se_mm"].is_null());
        EXPECT_TRUE(month["rain_se_mm"].is_null());
    }
    const Json flat = parsed(test::merrow_report({.no_eto_at_all = true}));
    EXPECT_TRUE(flat["peak_month"].is_null());
    EXPECT_TRUE(flat["months"][0]["percent_of_peak"].is_null());
    EXPECT_EQ(flat["annual"]["eto_mm"], 0.0);
}

TEST(SiteJson, HasStepsWhenAsked) {
    const Json days = parsed(test::merrow_report({}, StepLength::day));
    ASSERT_EQ(days["steps"].size(), 365U);
    EXPECT_EQ(names_of(days["steps"][0]), (Names{"start", "days", "eto_mm", "rain_mm"}));
    EXPECT_EQ(days["steps"][31]["start"], "02-01");
    EXPECT_EQ(days["months"].size(), 12U);
    double july_mm = 0.0;
    for (const Json& day : days["steps"]) {
        if (day["start"].get<std::string>().starts_with("07-")) {
            july_mm += day["eto_mm"].get<double>();
        }
    }
    EXPECT_NEAR(july_mm, 5.68 * 31, 31 * 0.0005);
    EXPECT_EQ(parsed(test::merrow_report({}, StepLength::week))["steps"].size(), 52U);
    EXPECT_FALSE(parsed(test::merrow_report()).contains("steps"));
}

TEST(SiteJson, MarksTheUsersOwnValues) {
    SiteReport report = test::merrow_report();
    OwnRecord own;
    own.file = "mine.csv";
    own.eto_mm[6] = 190.04;
    own.rain_mm[6] = 5.0;
    own.rain_mm[7] = 6.0;
    apply_own_record(report.profile, own);
    report.own = own;
    const Json json = parsed(report);
    EXPECT_EQ(json["months"][6]["own"], (Json{"eto", "rain"}));
    EXPECT_EQ(json["months"][6]["eto_mm"], 190.0);
    EXPECT_TRUE(json["months"][6]["eto_se_mm"].is_null());
    EXPECT_EQ(json["months"][7]["own"], (Json::array({"rain"})));
    EXPECT_FALSE(json["months"][5].contains("own"));
    ASSERT_EQ(json["sources"].size(), 3U);
    EXPECT_NE(json["sources"][0]["name"].get<std::string>().find("mine.csv"), std::string::npos);
    EXPECT_EQ(json["sources"][0]["own"], true);
}

TEST(SiteJson, OfAMissHasFiveMembers) {
    SiteQuery query;
    query.postal = "97402";
    query.country = "US";
    const Json json = Json::parse(miss_json(query, "nothing there", JsonLayout::indented));
    EXPECT_EQ(names_of(json), (Names{"schema_version", "query", "found", "reason"}));
    EXPECT_EQ(json["found"], false);
    EXPECT_EQ(json["reason"], "nothing there");
    EXPECT_TRUE(json["query"]["lat"].is_null());
    EXPECT_EQ(json["query"]["postal"], "97402");
}

TEST(SiteJson, IsValidWhateverTextTheFileHolds) {
    SiteReport report = test::merrow_report();
    report.baseline.notice = "bad \xFF byte, \"quotes\" and \n line";
    EXPECT_NO_THROW(parsed(report));
}

TEST(SiteJson, HasTheSeasonWhereTheFileHasTemperatures) {
    SiteReport report = test::merrow_report();
    report.season->freezes[1] = {
        -2.0, 98.6, false, MonthDay{3, 29}, MonthDay{4, 11}, MonthDay{9, 15}, std::nullopt, 6.6};
    const Json season = parsed(report)["season"];
    EXPECT_EQ(season["basis"], "estimated from monthly means");
    EXPECT_TRUE(season["freezes"][0]["in_midsummer"]);  // Tmin is −3 °C in all months
    EXPECT_TRUE(season["freezes"][0]["last_median"].is_null());
    const Json& freezes = season["freezes"][1];
    EXPECT_EQ(freezes["at_or_below_c"], -2.0);
    EXPECT_EQ(freezes["percent_of_years"], 99);
    EXPECT_EQ(freezes["last_median"], "04-29");
    EXPECT_EQ(freezes["last_one_year_in_ten"], "05-11");
    EXPECT_EQ(freezes["first_median"], "10-15");
    EXPECT_TRUE(freezes["first_one_year_in_ten"].is_null());
    EXPECT_EQ(freezes["error_days"], 7);
    test::MerrowOptions options;
    options.temperature = false;
    EXPECT_FALSE(parsed(test::merrow_report(options)).contains("season"));
}

TEST(SiteJson, LinesAreTheSameAnswersWithAnId) {
    const SiteReport report = test::merrow_report();
    const SiteJsonLines lines(report.baseline);
    std::string out;
    lines.append_site(out, "pump 3", report.query, report.profile, report.period);
    lines.append_miss(out, std::nullopt, {}, "no");
    ASSERT_EQ(std::count(out.begin(), out.end(), '\n'), 2);
    const std::size_t end = out.find('\n');
    Json first = Json::parse(out.substr(0, end));
    EXPECT_EQ(first["id"], "pump 3");
    first.erase("id");
    Json whole = parsed(report);
    whole.erase("season");  // of single sites
    EXPECT_EQ(first, whole);
    const Json second = Json::parse(out.substr(end + 1));
    EXPECT_TRUE(second["id"].is_null());
    EXPECT_EQ(second["found"], false);
}

}  // namespace
}  // namespace thirstline
