// `compare`: two editions made for it, in which a station was closed, moved, corrected and opened,
// and nothing else; and two files with a known shift.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "builder/compare/compared_lists.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/published_sites.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::plain_climate;
using test::ProgramRun;
using test::Region;

Json compared_json(const std::string& before, const std::string& after, int status = 1) {
    const ProgramRun run = builder({"compare", before, after, "--format", "json"});
    EXPECT_EQ(run.status, status) << run.err;
    return Json::parse(run.out);
}

/// A region whose rain is higher by so much in July, and Tmax by so much in all months.
void make_region(Region& region, double more_rain_mm, double warmer_c) {
    region.baseline = "site_correction = \"none\"\n";  // which depends on rain
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain}) {
        region.add_grid(variable, north_up(8.0, 51.0, 1.0, 8, 8), [=](LatLon at, int month) {
            double value = plain_climate(variable, at, month);
            if (variable == rain && month == 6) value += more_rain_mm;
            if (variable == tmax) value += warmer_c;
            return value;
        });
    }
}

TEST(CompareCommand, GivesTheShiftByMonth) {
    Region before;
    make_region(before, 0.0, 0.0);
    before.build();
    Region after;
    make_region(after, 7.0, 0.0);
    after.lattice = "spacing_arcsec = 1800\nbbox = [10.5, 45.5, 13.5, 49]\nreach_km = 50\n";
    after.build();
    const std::string old_file = before.path("out.sqlite");
    const std::string new_file = after.path("out.sqlite");
    const Json json = compared_json(old_file, new_file);
    EXPECT_EQ(json["is_same"], false);
    EXPECT_EQ(json["points"]["in_both"], 49);
    EXPECT_EQ(json["points"]["only_after"], 7);
    EXPECT_EQ(json["points"]["only_before"], 0);
    for (std::size_t m = 0; m < kMonths; ++m) {
        const Json& rain = json["points"]["rain"][m];
        for (const char* figure : {"mean_mm", "least_mm", "median_mm", "greatest_mm"})
            EXPECT_EQ(rain[figure], m == 6 ? 7.0 : 0.0) << m << figure;
        EXPECT_EQ(json["points"]["eto"][m]["greatest_mm"], 0.0);
        EXPECT_TRUE(rain["mean_se_mm"].is_null());
    }
    ASSERT_EQ(json["recipe_lines"].size(), 2U);
    EXPECT_EQ(json["recipe_lines"][0]["in"], "old");
    EXPECT_EQ(json["recipe_lines"][1]["text"], "bbox = [10.5, 45.5, 13.5, 49]");
    // Only rain.tif has changed; the counts of all follow the larger lattice.
    for (const Json& change : json["sources"]) {
        const bool is_of_files = change["what"].get<std::string>().ends_with(": files");
        EXPECT_TRUE(!is_of_files || change["what"] == "source rain of the Merrow (rain): files")
            << change;
    }
    EXPECT_EQ(compared_json(old_file, old_file, 0)["is_same"], true);
    const ProgramRun text = builder({"compare", old_file, new_file});
    EXPECT_EQ(text.status, 1);
    for (const char* words : {"49 in both, 0 only in the old, 7 only in the new", "+7.0",
                              "+7: bbox = [10.5, 45.5, 13.5, 49]"})
        EXPECT_NE(text.out.find(words), std::string::npos) << words << text.out;
    EXPECT_EQ(builder({"compare", old_file, before.path("none.sqlite")}).status, 5);
}

TEST(CompareCommand, DrawsTheChangeAsAPage) {
    Region before;
    make_region(before, 0.0, 0.0);
    before.build();
    Region after;
    make_region(after, 70.0, 0.0);
    after.build();
    const ProgramRun run = builder(
        {"compare", before.path("out.sqlite"), after.path("out.sqlite"), "--format", "html"});
    EXPECT_EQ(run.status, 1) << run.err;
    // 70 mm more rain in July at each of 49 points, and ETo unchanged.
    EXPECT_NE(run.out.find("<figure class=\"rain_change\">"), std::string::npos);
    EXPECT_NE(run.out.find("From 70.0 to 70.0 mm on the map."), std::string::npos);
    EXPECT_NE(run.out.find("From 0.0 to 0.0 mm on the map."), std::string::npos);
    EXPECT_NE(run.out.find("<td class=\"number\">+70.0</td>"), std::string::npos);
    EXPECT_EQ(run.out.find("<script"), std::string::npos);
    const ProgramRun same = builder(
        {"compare", before.path("out.sqlite"), before.path("out.sqlite"), "--format", "html"});
    EXPECT_EQ(same.status, 0) << same.err;
    EXPECT_NE(same.out.find("Nothing changed."), std::string::npos);
    EXPECT_EQ(same.out.find("<figure"), std::string::npos);
}

TEST(CompareCommand, FindsWhatHappenedToStationsAndNothingElse) {
    const TempFolder folder;
    std::filesystem::copy(THIRSTLINE_SAMPLE_INPUTS, folder / "valley",
                          std::filesystem::copy_options::recursive);
    const auto path = [&folder](const std::string& name) { return folder / ("valley/" + name); };
    const std::string old_file = folder / "old.sqlite";
    ASSERT_EQ(builder({"build", path("merrow.toml"), "-o", old_file}).status, 0);
    // As a person edits the table: one station is closed, one moved by 2.4 km, the elevation of one
    // is corrected, and one is new.
    std::istringstream lines(test::content_of(path("merrow-stations.csv")));
    std::string table;
    std::string opened_station;
    const auto replaced = [](std::string line, const std::string& old_text,
                             const std::string& new_text) {
        const std::size_t at = line.find(old_text);
        return at == std::string::npos ? line : line.replace(at, old_text.size(), new_text);
    };
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("M06,")) continue;
        if (line.starts_with("M05,")) {
            opened_station += replaced(line, "M05,Hask Mill Orchard,XM,44.4170,-37.5310",
                                       "M07,Lathe Weir,XM,44.9010,-37.4020") +
                              "\n";
            line = replaced(line, "-37.5310", "-37.5010");
        }
        table += replaced(line, "-37.5275,388,", "-37.5275,399,") + "\n";
    }
    table += opened_station;
    test::write_text(path("merrow-stations.csv"), table);
    const std::string new_file = folder / "new.sqlite";
    ASSERT_EQ(builder({"build", path("merrow.toml"), "-o", new_file}).status, 0);
    const Json json = compared_json(old_file, new_file);
    std::map<std::string, std::string> changes;
    for (const Json& station : json["stations"])
        changes[station["name"]] += station["change"].get<std::string>();
    const std::map<std::string, std::string> expected{{"Nether Pan", "removed"},
                                                      {"Hask Mill Orchard", "moved"},
                                                      {"Ostrey Bridge Works", "changed"},
                                                      {"Lathe Weir", "added"}};
    EXPECT_EQ(changes, expected);
    for (const Json& station : json["stations"]) {
        // 0.03° of longitude at 44.4° N.
        if (station["change"] == "moved") {
            EXPECT_NEAR(station["moved_km"].get<double>(), 2.4, 0.05);
        }
        if (station["change"] == "changed") {
            EXPECT_EQ(station["details"],
                      Json({{{"what", "elevation_m"}, {"before", "388"}, {"after", "399"}}}));
        }
    }
    EXPECT_EQ(json["recipes_differ"], false);
    EXPECT_TRUE(json["texts"].empty()) << json["texts"];
    EXPECT_EQ(json["points"]["in_both"], 1423);
    EXPECT_TRUE(json["postal_codes"]["gained"].empty());
    EXPECT_TRUE(json["postal_codes"]["lost"].empty());

    // The report of the new edition has the same.
    const auto outcome = test::published(new_file, {folder / "site", false, {}, {}, old_file});
    ASSERT_TRUE(outcome) << outcome.error().message;
    const std::string report = test::content_of(folder / "site/report.html");
    EXPECT_NE(report.find("<h2>What changed</h2>"), std::string::npos);
    for (const auto& [name, change] : changes)
        EXPECT_NE(report.find("<li>" + change + ": " + name), std::string::npos) << name;
}

TEST(ComparedPostalCodes, AreGainedLostAndMoved) {
    const TempFolder folder;
    const std::string old_file = folder / "old.sqlite";
    const std::string new_file = folder / "new.sqlite";
    ASSERT_EQ(builder({"build", THIRSTLINE_SAMPLE_INPUTS "/merrow.toml", "-o", old_file}).status,
              0);
    std::filesystem::copy_file(old_file, new_file);
    test::run_on_file(new_file,
                      "UPDATE postal SET code = '99999' WHERE code = '04107'; "
                      "UPDATE postal SET lat_e7 = lat_e7 + 20000 WHERE code = '04103'");
    test::reseal_rows(new_file);
    test::seal(new_file);
    const Json postal = compared_json(old_file, new_file)["postal_codes"];
    ASSERT_EQ(postal["gained"].size(), 1U);
    EXPECT_EQ(postal["gained"][0]["code"], "99999");
    ASSERT_EQ(postal["lost"].size(), 1U);
    EXPECT_EQ(postal["lost"][0]["place"], "Ostrey Bridge");
    ASSERT_EQ(postal["moved"].size(), 1U);
    EXPECT_EQ(postal["moved"][0]["code"], "04103");
}

// As GNU diff finds them.
TEST(ComparedLines, AreThoseThatOnlyOneTextHas) {
    const auto lines = compared_lines("a\nb\nc\nd\n", "a\nc\nx\nd\ne");
    std::string text;
    for (const RecipeLine& line : lines)
        text += (line.is_new ? "+" : "-") + std::to_string(line.line) + line.text + " ";
    EXPECT_EQ(text, "-2b +3x +5e ");
    EXPECT_TRUE(compared_lines("same\n", "same\n").empty());
}

}  // namespace
}  // namespace thirstline
