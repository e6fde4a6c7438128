// The command `demand`: the destination of its data, and its exit codes.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <vector>

#include "lookup/commands/lookup_program.hpp"
#include "lookup/zone_file/zone_keys.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

struct CommandRun {
    int status = -1;
    std::string out;
    std::string message;
};

class CommandDemand : public testing::Test {
  protected:
    static void SetUpTestSuite() { database_ = new std::string(test::merrow_database()); }
    static void TearDownTestSuite() { delete database_; }

    static CommandRun run_on(const std::string& database, std::vector<std::string> words) {
        words.insert(words.begin(), {"thirstline-lookup", "demand"});
        std::vector<const char*> arguments;
        for (const std::string& word : words) arguments.push_back(word.c_str());
        test::CapturedSink sink;
        Environment environment;
        environment.database = database;
        const auto status =
            run_lookup(static_cast<int>(arguments.size()), arguments.data(), environment, sink);
        if (!status) return {exit_status(status.error().code), sink.text, status.error().message};
        return {*status, sink.text, ""};
    }
    static CommandRun run(const std::vector<std::string>& words) {
        return run_on(*database_, words);
    }

    static std::string zones() {
        return test::file_in_test_folder("three-zones.toml", test::three_zones());
    }

    static void expect_failure(const std::vector<std::string>& words, int status,
                               const std::string& says) {
        const CommandRun found = run(words);
        EXPECT_EQ(found.status, status) << says << ": " << found.message;
        EXPECT_EQ(found.out, "");
        EXPECT_NE(found.message.find(says), std::string::npos) << found.message;
    }

    static const std::string* database_;
};
const std::string* CommandDemand::database_ = nullptr;

TEST_F(CommandDemand, AnswersInEveryForm) {
    for (const auto& [format, start] :
         std::initializer_list<std::pair<const char*, const char*>>{{"text", "47.25 N"},
                                                                    {"json", "{"},
                                                                    {"csv", "zone,month"},
                                                                    {"html", "<!DOCTYPE html>"}}) {
        const CommandRun found =
            run({"--at", "47.25,-30.5", "--zones", zones(), "--format", format});
        EXPECT_EQ(found.status, 0) << found.message;
        EXPECT_TRUE(found.out.starts_with(start)) << format;
        EXPECT_TRUE(found.out.ends_with('\n')) << format;
    }
    const CommandRun one =
        run({"--postal", "4021", "--planting", "warm turf", "--area-m2", "100", "--rate-mm-per-h",
             "20", "--allowed-days", "Mon,Thu", "--format", "json"});
    ASSERT_EQ(one.status, 0) << one.message;
    EXPECT_EQ(nlohmann::json::parse(one.out)["zones"][0]["name"], "zone 1");
}

// A site file that is kept needs no other option.
TEST_F(CommandDemand, TakesTheSiteFromTheJob) {
    const std::string file = test::file_in_test_folder(
        "kept-site.toml",
        "[job]\ncustomer = \"Upper Meadow School\"\npostal = \"4021\"\ncontractor = \"A. Merrow\"\n"
        "license = \"1234\"\n" +
            test::three_zones());
    const CommandRun text = run({file});
    ASSERT_EQ(text.status, 0) << text.message;
    EXPECT_TRUE(
        text.out.starts_with("Customer: Upper Meadow School\nPrepared by: A. Merrow (license "
                             "1234)\n"))
        << text.out.substr(0, 200);
    const CommandRun json = run({file, "--format", "json"});
    EXPECT_EQ(nlohmann::json::parse(json.out)["query"]["postal"], "4021");
    EXPECT_EQ(nlohmann::json::parse(json.out)["job"]["customer"], "Upper Meadow School");
    // The command's site goes before the file's.
    const CommandRun elsewhere = run({file, "--at", "47.25,-30.5", "--format", "json"});
    EXPECT_TRUE(nlohmann::json::parse(elsewhere.out)["query"]["postal"].is_null());
    EXPECT_NE(run({file, "--format", "html"}).out.find("Upper Meadow School"), std::string::npos);
}

TEST_F(CommandDemand, UnitsShapeTextCsvAndPageButNeverJson) {
    const auto with = [&](const char* format, const char* units) {
        return run({"--at", "47.25,-30.5", "--zones", zones(), "--format", format, "--units",
                    units})
            .out;
    };
    EXPECT_EQ(with("json", "us"), with("json", "metric"));
    EXPECT_NE(with("csv", "us").find("need_in"), std::string::npos);
    EXPECT_NE(with("html", "us").find("In inches a month"), std::string::npos);
    EXPECT_NE(with("text", "us").find(" gal"), std::string::npos);
}

TEST_F(CommandDemand, OwnRecordGoesBeforeTheFiles) {
    const std::string own = test::file_in_test_folder("own.csv", "month,eto_mm,rain_mm\n7,200,0\n");
    const CommandRun found =
        run({"--at", "47.25,-30.5", "--zones", zones(), "--format", "json", "--own", own});
    ASSERT_EQ(found.status, 0) << found.message;
    const auto json = nlohmann::json::parse(found.out);
    EXPECT_EQ(json["zones"][0]["months"][6]["need_mm"], 160.0);  // 0.8 · 200
    EXPECT_EQ(json["sources"][0]["own"], true);
}

TEST_F(CommandDemand, LeavesWithTheContractsCodes) {
    const std::string at = "47.25,-30.5";
    expect_failure({"--at", at}, 2, "no zone is described");
    expect_failure({"--zones", zones()}, 2, "no site is named");
    expect_failure({"--at", at, "--zones", zones(), "--area-ft2", "5"}, 2,
                   "--zones and --area-ft2 both describe zones");
    expect_failure({"--at", at, "--zones", zones(), "--window-hours", "5"}, 2, "--window-hours");
    expect_failure({"--at", at, "--zones", zones(), "--format", "pdf"}, 2, "--format");
    expect_failure({"--at", at, "--zones", zones(), "--width", "5"}, 2, "--width");
    expect_failure({"--at", at, "--soil", "mud"}, 2, "--soil must be");
    expect_failure({"--at", at, "--zones", test::path_in_test_folder("absent.toml")}, 5,
                   "absent.toml");
    expect_failure({"--at", at, "--zones", test::file_in_test_folder("bad.toml", "[[zone]]\nx=1")},
                   3, "bad.toml:2: unknown key");
    expect_failure({"--postal", "9999", "--zones", zones()}, 1, "9999");
    expect_failure({"--at", "10,10", "--zones", zones()}, 1, "no data");
    const CommandRun miss = run({"--at", "10,10", "--zones", zones(), "--format", "json"});
    EXPECT_EQ(miss.status, 1);
    EXPECT_EQ(nlohmann::json::parse(miss.out)["found"], false);
}

TEST_F(CommandDemand, RefusesATallBaseline) {
    const CommandRun found = run_on(test::merrow_database({.reference = "tall"}),
                                    {"--at", "47.25,-30.5", "--zones", zones()});
    EXPECT_EQ(found.status, 3);
    EXPECT_NE(found.message.find("tall reference"), std::string::npos) << found.message;
    EXPECT_EQ(found.out, "");
}

TEST_F(CommandDemand, NamesTheFileOfWhatThePlanRefuses) {
    const std::string salty = test::file_in_test_folder(
        "salty.toml",
        "[[zone]]\nplanting = \"cool turf\"\narea_m2 = 9\nrate_mm_per_h = 20\n"
        "water_ec_ds_per_m = 40\n");
    expect_failure({"--at", "47.25,-30.5", "--zones", salty}, 3, "salty.toml: zone");
}

TEST_F(CommandDemand, HelpNamesEveryKeyOfAZone) {
    const CommandRun help = run({"--help"});
    EXPECT_EQ(help.status, 0);
    for (const ZoneKey& key : zone_keys()) {
        if (!is_option(key)) continue;
        EXPECT_NE(help.out.find(option_name(key) + " "), std::string::npos) << key.name;
    }
    for (const char* part : {"Examples:", "Exit codes:", "Local rules:", "Water price:"}) {
        EXPECT_NE(help.out.find(part), std::string::npos) << part;
    }
}

TEST_F(CommandDemand, WritesACalendarOfAYear) {
    const std::string all_year = test::file_in_test_folder(
        "all-year.toml", "[season]\nstart = \"01-01\"\nstop = \"12-31\"\n" + test::three_zones());
    const CommandRun found = run(
        {"--at", "47.25,-30.5", "--zones", all_year, "--format", "ics", "--calendar-year", "2027"});
    EXPECT_EQ(found.status, 0) << found.message;
    EXPECT_TRUE(found.out.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"));
    EXPECT_TRUE(found.out.ends_with("END:VCALENDAR\r\n"));
    EXPECT_NE(found.out.find("RRULE:FREQ="), std::string::npos);
    expect_failure({"--at", "47.25,-30.5", "--zones", zones(), "--format", "ics"}, 2,
                   "a calendar file needs a year");
    expect_failure(
        {"--at", "47.25,-30.5", "--zones", zones(), "--format", "ics", "--calendar-year", "27"}, 2,
        "--calendar-year must be a year from 1900 to 2200");
    expect_failure({"--at", "47.25,-30.5", "--zones", zones(), "--calendar-year", "27"}, 2,
                   "--calendar-year must be a year from 1900 to 2200");
}

}  // namespace
}  // namespace thirstline
