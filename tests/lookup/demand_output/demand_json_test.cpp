#include "lookup/demand_output/demand_json.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "schema/text/rounding.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::ordered_json;

Json parsed(const DemandReport& report) {
    return Json::parse(demand_json(report, JsonLayout::indented));
}

void expect_names(const Json& object, std::initializer_list<const char*> names) {
    for (const char* name : names) EXPECT_TRUE(object.contains(name)) << name;
}

TEST(DemandJson, HasEveryNameThatTheContractFixes) {
    const Json json = parsed(test::merrow_demand(test::three_zones_of_a_strict_town()));
    expect_names(json, {"schema_version", "query", "found", "baseline", "sources", "zones", "site",
                        "cautions"});
    ASSERT_EQ(json["zones"].size(), 3U);
    for (const Json& zone : json["zones"]) {
        expect_names(zone, {"name", "assumed", "months", "peak_need_month", "peak_net_se_mm",
                            "cautious_peak_net_mm", "conflicts", "rain_shutoff_mm"});
        ASSERT_EQ(zone["months"].size(), 12U);
        for (const Json& month : zone["months"]) {
            expect_names(month, {"month", "need_mm", "effective_rain_mm", "net_mm", "gross_mm",
                                 "minutes_per_week", "days_per_week", "cycles_per_day",
                                 "minutes_per_cycle", "soak_minutes", "interval_days", "volume_l",
                                 "percent_of_peak_need", "dormant"});
        }
        for (const Json& assumption : zone["assumed"]) {
            expect_names(assumption, {"what", "value", "source", "basis"});
        }
        for (const Json& conflict : zone["conflicts"]) {
            expect_names(conflict, {"month", "rule", "short_by", "remedy"});
        }
    }
    EXPECT_FALSE(json["zones"][0]["conflicts"].empty());
    const Json& site = json["site"];
    expect_names(
        site, {"peak_need_month", "percent_of_peak_need", "highest_need_zone", "volume_l", "cost",
               "need", "by_percentage", "programs", "season_share", "comparisons"});
    EXPECT_EQ(site["percent_of_peak_need"].size(), 12U);
    EXPECT_EQ(json["schema_version"], kDemandSchemaVersion);
    expect_names(site["by_percentage"], {"volume_l", "cost"});
    for (const Json& program : site["programs"]) {
        expect_names(program, {"program", "zones", "day_names", "percent", "set_by"});
        EXPECT_EQ(program["percent"].size(), 12U);
    }
    for (const Json& comparison : site["comparisons"]) {
        expect_names(comparison, {"name", "volume_l", "cost", "saving"});
    }
}

TEST(DemandJson, GivesThePlansNumbersRounded) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const Json json = parsed(report);
    const Json& july = json["zones"][0]["months"][6];
    const ZoneMonth& month = report.plan.zones[0].months[6];
    // 5.68 mm/day · 31 days · 0.8; · 1 / (0.4 + 0.6 · 0.65)
    EXPECT_EQ(july["need_mm"], 140.9);
    EXPECT_EQ(july["gross_mm"], 178.31);
    EXPECT_EQ(july["month"], 7);
    EXPECT_EQ(july["minutes_per_week"], rounded(month.minutes_per_week, 1));
    EXPECT_EQ(july["minutes_per_cycle"], rounded(month.minutes_per_cycle, 2));
    EXPECT_EQ(july["volume_l"], rounded(month.volume_l, 1));
    EXPECT_EQ(july["dormant"], false);
    EXPECT_TRUE(july["days_per_week"].is_number_integer());
    EXPECT_EQ(json["zones"][0]["months"][0]["dormant"], true);
    EXPECT_TRUE(json["zones"][0]["months"][0]["interval_days"].is_null());
    const Comparison& first = report.plan.site.comparisons.front();
    EXPECT_EQ(json["site"]["comparisons"][0]["name"], first.name);
    EXPECT_EQ(json["site"]["comparisons"][0]["saving"]["cost"], rounded(*first.saving.cost, 2));
    EXPECT_EQ(json["site"]["by_percentage"]["volume_l"],
              rounded(report.plan.site.by_percentage.volume_l, 1));
    EXPECT_EQ(json["site"]["highest_need_zone"], report.plan.site.highest_need_zone);
    EXPECT_EQ(json["query"]["postal"], "4021");
    EXPECT_EQ(json["months"][6]["eto_mm"], 176.1);
}

TEST(DemandJson, NullsWhatIsNotKnown) {
    const Json bare = parsed(
        test::merrow_demand("[[zone]]\nplant_factor = 0.5\narea_m2 = 9\nrate_mm_per_h = 20\n",
                            {.standard_errors = false}));
    EXPECT_TRUE(bare["zones"][0]["peak_net_se_mm"].is_null());
    EXPECT_TRUE(bare["zones"][0]["cautious_peak_net_mm"].is_null());
    EXPECT_TRUE(bare["site"]["cost"].is_null());
    EXPECT_TRUE(bare["site"]["comparisons"][0]["saving"]["cost"].is_null());
    EXPECT_TRUE(bare["zones"][0]["new_planting"].is_null());
    const Json none = parsed(test::merrow_demand(test::three_zones(), {.no_eto_at_all = true}));
    EXPECT_TRUE(none["site"]["peak_need_month"].is_null());
    EXPECT_TRUE(none["zones"][0]["peak_need_month"].is_null());
    EXPECT_EQ(none["site"]["percent_of_peak_need"][6], 0.0);
}

TEST(DemandJson, IsJsonWhateverNamesHold) {
    const Json json = parsed(test::full_demand());
    EXPECT_EQ(json["zones"][0]["new_planting"]["from"], "2030-04-01");
    EXPECT_EQ(json["zones"][0]["new_planting"]["until"], "2030-05-15");
    EXPECT_TRUE(json["zones"][0]["name"].get<std::string>().starts_with("<script>"));
    EXPECT_EQ(Json::parse(demand_json(test::full_demand(), JsonLayout::one_line)), json);
}

}  // namespace
}  // namespace thirstline
