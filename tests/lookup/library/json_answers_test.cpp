// JSON from the library is that of the command, byte for byte: any site, own record, years, steps
// and plans. And what is not valid gives a status that names the line.
#include <gtest/gtest.h>
#include <thirstline/thirstline.h>

#include <cstring>
#include <filesystem>
#include <string>
#include <vector>

#include "lookup/commands/lookup_program.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/demand_reports.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

constexpr const char* kOwnCsv = "month,eto_mm,rain_mm\n6,150.5,\n7,165,12.5\n8,,9\n";

struct Json {
    thirstline_status status = THIRSTLINE_INTERNAL;
    std::string text;
    std::string message;
};

class JsonAnswers : public testing::Test {
  protected:
    JsonAnswers() { EXPECT_EQ(thirstline_open(path_.c_str(), &file_, nullptr), THIRSTLINE_OK); }
    ~JsonAnswers() override { thirstline_close(file_); }

    static thirstline_query at(double lat_deg, double lon_deg,
                               std::int32_t elevation_m = THIRSTLINE_UNKNOWN) {
        return {sizeof(thirstline_query), nullptr, nullptr, {lat_deg, lon_deg}, elevation_m};
    }
    static thirstline_query postal(const char* code, const char* country) {
        return {sizeof(thirstline_query), code, country, {0.0, 0.0}, THIRSTLINE_UNKNOWN};
    }
    static thirstline_json_options options(const char* own, const char* year, const char* step) {
        return {sizeof(thirstline_json_options), own, year, step};
    }

    Json site(const thirstline_query& query, const thirstline_json_options* options = nullptr) {
        return asked([&](const char** json, thirstline_error* error) {
            return thirstline_site_json(file_, &query, options, json, error);
        });
    }
    Json demand(const thirstline_query& query, const std::string& zones,
                const thirstline_json_options* options = nullptr) {
        return asked([&](const char** json, thirstline_error* error) {
            return thirstline_demand_json(file_, &query, zones.c_str(), options, json, error);
        });
    }
    template <class Ask>
    Json asked(const Ask& ask) {
        thirstline_error error{};
        error.struct_size = sizeof error;
        const char* json = "not written";
        Json out;
        out.status = ask(&json, &error);
        if (json != nullptr) out.text = json;
        out.message = error.message;
        return out;
    }

    /// What the command prints.
    std::string command(std::vector<std::string> words) {
        words.insert(words.begin(), "thirstline-lookup");
        words.insert(words.end(), {"--db", path_, "--format", "json"});
        std::vector<const char*> argv;
        for (const std::string& word : words) argv.push_back(word.c_str());
        test::CapturedSink sink;
        const auto status =
            run_lookup(static_cast<int>(argv.size()), argv.data(), Environment{}, sink);
        EXPECT_TRUE(status) << status.error().message;
        return sink.text;
    }

    const std::string path_ = test::merrow_database();
    thirstline_file* file_ = nullptr;
};

TEST_F(JsonAnswers, OfSitesAreThoseOfTheCommand) {
    const auto plain = site(at(47.25, -30.5));
    EXPECT_EQ(plain.status, THIRSTLINE_OK) << plain.message;
    EXPECT_EQ(plain.text, command({"site", "--at", "47.25,-30.5"}));
    EXPECT_EQ(site(at(47.31, -30.44, 300)).text,
              command({"site", "--at", "47.31,-30.44", "--elevation", "300m"}));
    const auto by_code = site(postal("04021", "US"));
    EXPECT_EQ(by_code.status, THIRSTLINE_OK) << by_code.message;
    EXPECT_EQ(by_code.text, command({"site", "--postal", "04021", "--country", "US"}));

    const auto missing = site(at(-10.0, 100.0));
    EXPECT_EQ(missing.status, THIRSTLINE_NO_DATA);
    EXPECT_EQ(missing.text, command({"site", "--at", "-10,100"}));
}

TEST_F(JsonAnswers, WithAnOwnRecordByDaysAndWeeksAreThoseOfTheCommand) {
    // The command names the record by its path, the library as its member of the options.
    const std::string folder = test::path_in_test_folder("own");
    std::filesystem::create_directory(folder);
    const std::string record = test::file_in_test_folder("own/own_record", kOwnCsv);
    for (const char* const step : {"month", "week", "day"}) {
        const auto choices = options(kOwnCsv, nullptr, step);
        const auto ours = site(at(47.25, -30.5), &choices);
        ASSERT_EQ(ours.status, THIRSTLINE_OK) << ours.message;
        std::string theirs =
            command({"site", "--at", "47.25,-30.5", "--step", step, "--own", record});
        const std::size_t at = theirs.find(record);
        ASSERT_NE(at, std::string::npos);
        theirs.replace(at, record.size(), "own_record");
        EXPECT_EQ(ours.text, theirs);
    }
}

TEST_F(JsonAnswers, OfPlansAreThoseOfTheCommand) {
    for (const std::string& zones : {test::three_zones(), test::three_zones_of_a_strict_town()}) {
        const std::string file = test::file_in_test_folder("zones.toml", zones);
        const auto ours = demand(at(47.25, -30.5), zones);
        ASSERT_EQ(ours.status, THIRSTLINE_OK) << ours.message;
        EXPECT_EQ(ours.text, command({"demand", "--at", "47.25,-30.5", "--zones", file}));
        const auto missing = demand(at(-10.0, 100.0), zones);
        EXPECT_EQ(missing.status, THIRSTLINE_NO_DATA);
        EXPECT_EQ(missing.text, command({"demand", "--at", "-10,100", "--zones", file}));
    }
}

TEST_F(JsonAnswers, OfWhatIsNotValidAreAStatusThatSaysWhere) {
    const auto place = at(47.25, -30.5);
    const std::string zones = test::three_zones();
    const auto refused = [](const Json& json, const char* words) {
        EXPECT_EQ(json.status, THIRSTLINE_USAGE);
        EXPECT_EQ(json.text, "");
        EXPECT_NE(json.message.find(words), std::string::npos) << json.message;
    };
    refused(site(at(91.0, 0.0)), "latitude");
    refused(site(at(47.25, -30.5, 9'000)), "above the terrain around the site");
    for (const auto& [choices, words] :
         std::vector<std::pair<thirstline_json_options, const char*>>{
             {options("month,eto_mm\n13,5\n", nullptr, nullptr), "own_record:2: "},
             {options("", nullptr, nullptr), "own_record is empty"},
             {options(nullptr, "rainy", nullptr), "rainy"},
             {options(nullptr, nullptr, "hour"),
              "step must be month, week or day, not \"hour\""}}) {
        refused(site(place, &choices), words);
        refused(demand(place, zones, &choices), words);
    }
    refused(demand(place, zones + "\ncolour = 3\n"), "zones:");
    refused(demand(place, "[[zone"), "zones:1:");
    refused(demand(place, ""), "zones");
    refused(demand(place, std::string(std::size_t{5} << 20, '#')), "zones is longer than");
    const auto dry = options(nullptr, "dry", nullptr);
    EXPECT_EQ(site(place, &dry).status, THIRSTLINE_NO_DATA);  // the file has no years
    EXPECT_EQ(site(place, &dry).text, "");
    EXPECT_EQ(site(postal("99999", nullptr)).status, THIRSTLINE_NO_DATA);

    auto small = options(nullptr, nullptr, nullptr);
    small.struct_size = 8;
    refused(site(place, &small), "options->struct_size is 8");
    EXPECT_EQ(thirstline_site_json(file_, &place, nullptr, nullptr, nullptr), THIRSTLINE_USAGE);
    const char* json = nullptr;
    EXPECT_EQ(thirstline_demand_json(file_, &place, nullptr, nullptr, &json, nullptr),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_site_json(file_, nullptr, nullptr, &json, nullptr), THIRSTLINE_USAGE);
}

}  // namespace
}  // namespace thirstline
