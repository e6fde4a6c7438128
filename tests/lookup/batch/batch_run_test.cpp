// `batch` from its table to its records, through the program's entry function.
#include <gtest/gtest.h>

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <vector>

#include "lookup/batch/batch_input.hpp"
#include "lookup/commands/lookup_program.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::ordered_json;
using Table = std::vector<std::vector<std::string>>;

struct BatchRun {
    int status = -1;
    Error error;
    std::string out;
};

BatchRun run(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "thirstline-lookup");
    std::vector<const char*> argv;
    for (const std::string& argument : arguments) argv.push_back(argument.c_str());
    test::CapturedSink sink;
    BatchRun out;
    const auto status = run_lookup(static_cast<int>(argv.size()), argv.data(), Environment{}, sink);
    out.status = status ? *status : exit_status(status.error().code);
    if (!status) out.error = status.error();
    out.out = sink.text;
    return out;
}

class Batch : public testing::Test {
  protected:
    static void SetUpTestSuite() { database_ = new std::string(test::merrow_database()); }
    static void TearDownTestSuite() { delete database_; }

    static BatchRun answered(const std::string& input, std::vector<std::string> more = {}) {
        std::vector<std::string> arguments{"batch", "--db", *database_, "--input",
                                           test::file_in_test_folder("sites.csv", input)};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return run(std::move(arguments));
    }

    static Table table_of(const std::string& csv) {
        auto reader = CsvReader::open(test::file_in_test_folder("answers.csv", csv)).value();
        Table table;
        CsvRow row;
        while (reader.next(row).value()) {
            table.emplace_back();
            for (std::size_t i = 0; i < row.size(); ++i) table.back().emplace_back(row.field(i));
        }
        return table;
    }

    static const std::string* database_;
};
const std::string* Batch::database_ = nullptr;

constexpr std::size_t kId = 0, kFound = 1, kReason = 2, kLat = 3, kLon = 4, kElevation = 5,
                      kDistance = 6, kMethod = 7, kPeak = 8, kEto = 9, kRain = 21, kEtoSe = 33,
                      kRainSe = 45, kTmax = 57, kTmin = 69, kColumns = 81;

TEST_F(Batch, HasTheColumnsOfTheInterface) {
    std::string header = "id,found,reason,lat,lon,elevation_m,distance_km,method,peak_month";
    for (const char* name : {"eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"}) {
        for (const char* month :
             {"01", "02", "03", "04", "05", "06", "07", "08", "09", "10", "11", "12"}) {
            header += std::string(",") + name + "_" + month;
        }
    }
    EXPECT_EQ(answered("lat,lon\n").out, header + "\n");
    EXPECT_EQ(answered("lat,lon\n").status, 0);
    const std::string cool = test::merrow_database({.temperature = false});
    const BatchRun bare = run({"batch", "--db", cool, "--input",
                               test::file_in_test_folder("sites.csv", "lat,lon\n47.25,-30.5\n")});
    EXPECT_EQ(bare.out.find("tmax_c"), std::string::npos);
    EXPECT_EQ(table_of(bare.out)[1].size(), kTmax);
}

TEST_F(Batch, AnswersWithTheNumbersOfSite) {
    const BatchRun batch =
        answered("id,lat,lon,elevation_m\npump,47.25,-30.5,\nhill,47.25,-30.5,1140\n");
    ASSERT_EQ(batch.status, 0) << batch.error.message;
    const Table table = table_of(batch.out);
    ASSERT_EQ(table.size(), 3U);
    const auto& row = table[1];
    ASSERT_EQ(row.size(), kColumns);
    EXPECT_EQ(row[kId], "pump");
    EXPECT_EQ(row[kFound], "true");
    EXPECT_EQ(row[kReason], "");
    EXPECT_EQ(row[kLat], "47.25");
    EXPECT_EQ(row[kLon], "-30.5");
    EXPECT_EQ(row[kElevation], "140.0");
    EXPECT_EQ(row[kDistance], "0.000");
    EXPECT_EQ(row[kMethod], "penman-monteith");
    EXPECT_EQ(row[kPeak], "7");
    EXPECT_EQ(row[kEto + 6], "176.1");
    EXPECT_EQ(row[kRain + 6], "23.0");
    EXPECT_EQ(row[kEtoSe + 1], "5.7");
    EXPECT_EQ(row[kRainSe + 11], "10.0");
    EXPECT_EQ(row[kTmax + 6], "12.5");
    EXPECT_EQ(row[kTmin + 11], "-3.0");
    EXPECT_EQ(table[2][kEto + 6], "185.4");  // (5.68 + 0.3)·31 = 185.38

    const Json site = Json::parse(
        run({"site", "--db", *database_, "--at", "47.25,-30.5", "--format", "json"}).out);
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_EQ(std::stod(row[kEto + m]), site["months"][m]["eto_mm"].get<double>());
        EXPECT_EQ(std::stod(row[kRain + m]), site["months"][m]["rain_mm"].get<double>());
    }
}

TEST_F(Batch, AcceptsAnElevationFarFromTheTerrainWithoutWarning) {
    const BatchRun batch = answered(
        "id,lat,lon,elevation_m\nhut,47.25,-30.5,1640\npeak,47.25,-30.5,1641\n"
        "shaft,47.25,-30.5,-1000\n");
    EXPECT_EQ(batch.status, 1);
    const Table table = table_of(batch.out);
    ASSERT_EQ(table.size(), 4U);
    EXPECT_EQ(table[1][kFound], "true");
    EXPECT_EQ(table[2][kFound], "false");
    EXPECT_EQ(
        table[2][kReason],
        "the elevation 1641 m is 1501 m above the terrain around the site, 140 m; the maximum "
        "adjustment is 1500 m");
    EXPECT_EQ(table[2][kEto], "");
    EXPECT_EQ(table[3][kFound], "true");
}

TEST_F(Batch, KeepsOrderAndAnswersEachRowMissesIncluded) {
    const std::string input =
        "id,lat,lon,postal,country,elevation_m\n"  // 1
        "a,47.25,-30.5,,,\n"
        "b,0,0,,,\n"      // nowhere near
        "c,,,4021,XM,\n"  // by postal code
        "d,,,97401,,\n"   // ambiguous
        "e,,,97401,us,\n"
        "f,,,99999,US,\n"                  // unknown
        "g,91,0,,,\n"                      // impossible
        "h,north,-30.5,,,\n"               // no number
        "i,47.25,,,,\n"                    // half a position
        "j,,,,,\n"                         // no site
        "k,47.25,-30.5\n"                  // too few fields
        "l,47,25,-30,5,,\n"                // decimal commas: too many fields
        "m,47.25,-30.5,,,high\n"           // no elevation
        "n,-30.5,47.25,,,\n"               // merely elsewhere
        "o,-130.5,47.25,,,\n"              // swapped
        "\"q,\"\"1\"\"\",47.5,-30.5,,,\n"  // quotes within quotes
        "\"p,47.25,-30.5,,,\n"             // an open quote
        "r,47.5,-30.5,,,\n";
    const BatchRun batch = answered(input);
    EXPECT_EQ(batch.status, 1);
    const Table table = table_of(batch.out);
    ASSERT_EQ(table.size(), 19U);
    const std::vector<std::pair<const char*, const char*>> expected{
        {"a", ""},
        {"b", "no data within 40 km of 0,0"},
        {"c", ""},
        {"d", "several countries: MX, US"},
        {"e", ""},
        {"f", "no postal code 99999 of US"},
        {"g", "91,0"},
        {"h", "\"north\" is not a number"},
        {"i", "longitude \"\" is not a number"},
        {"j", "names no site"},
        {"k", "6 fields like the header, not 3"},
        {"l", "6 fields like the header, not 7"},
        {"m", "\"high\""},
        {"n", "no data within"},
        {"o", "swapped"},
        {"q,\"1\"", ""},
        {"", "a quote is not closed"},
        {"r", ""}};
    for (std::size_t i = 0; i < expected.size(); ++i) {
        const auto& row = table[i + 1];
        ASSERT_EQ(row.size(), kColumns) << i;
        EXPECT_EQ(row[kId], expected[i].first);
        const std::string says = expected[i].second;
        EXPECT_EQ(row[kFound], says.empty() ? "true" : "false") << row[kId];
        EXPECT_NE(row[kReason].find(says), std::string::npos) << row[kReason];
        EXPECT_EQ(row[kReason].empty(), says.empty()) << row[kReason];
        EXPECT_EQ(row[kEto].empty(), !says.empty()) << row[kId];
    }
    EXPECT_EQ(table[2][kLat], "0");
    EXPECT_EQ(table[3][kLat], "47.25");  // the postal code's centre
    EXPECT_EQ(table[6][kLat], "");
    EXPECT_EQ(answered(input, {"--allow-missing"}).status, 0);
    EXPECT_EQ(answered(input, {"--allow-missing"}).out, batch.out);
}

TEST_F(Batch, NdjsonHasALineARow) {
    const BatchRun batch =
        answered("id,lat,lon\na,47.25,-30.5\n,0,0\n\"\xFF\",x,0\n", {"--format", "ndjson"});
    EXPECT_EQ(batch.status, 1);
    std::vector<Json> rows;
    for (std::size_t at = 0; at < batch.out.size();) {
        const std::size_t end = batch.out.find('\n', at);
        rows.push_back(Json::parse(batch.out.substr(at, end - at)));
        at = end + 1;
    }
    ASSERT_EQ(rows.size(), 3U);
    EXPECT_EQ(rows[0]["id"], "a");
    EXPECT_EQ(rows[0]["months"][6]["eto_mm"], 176.1);
    EXPECT_EQ(rows[0]["baseline"]["title"], "Upper Merrow water baseline");
    EXPECT_TRUE(rows[1]["id"].is_null());
    EXPECT_EQ(rows[1]["found"], false);
    EXPECT_EQ(rows[1]["query"]["lat"], 0.0);
    EXPECT_EQ(rows[2]["found"], false);
    EXPECT_TRUE(rows[2]["query"]["lat"].is_null());
}

TEST_F(Batch, AcceptsHeadersInAnyOrderAndCase) {
    for (const char* input :
         {"LON,colour,Lat\n-30.5,red,47.25\n", "\xEF\xBB\xBFlat,lon\r\n47.25,-30.5\r\n",
          "lat,lon,\n47.25,-30.5,\n", "postal\n4021\n", "Postal,Country\n 4021 ,xm\n",
          "\n\nlat,lon\n\n47.25,-30.5\n\n", "\"lat\",\"lon\"\n\"47.25\",\"-30.5\"",
          "lat,lon\n47°15'N,30°30'W\n"}) {
        const BatchRun batch = answered(input);
        EXPECT_EQ(batch.status, 0) << input << batch.out << batch.error.message;
        const Table table = table_of(batch.out);
        ASSERT_EQ(table.size(), 2U) << input;
        EXPECT_EQ(table[1][kLat], "47.25") << input;
    }
}

/// So many that several threads share them: positions of the valley and beyond, codes, and rows
/// that are wrong.
std::string many_rows(int rows) {
    std::string input = "id,lat,lon,postal\n";
    for (int i = 0; i < rows; ++i) {
        const double lat = 46.0 + (i * 37 % 400) / 100.0;
        const double lon = -32.0 + (i * 61 % 400) / 100.0;
        const std::string id = "row " + std::to_string(i);
        if (i % 97 == 5) {
            input += id + ",north,-30.5,\n";
        } else if (i % 89 == 7) {
            input += id + ",,,4021\n";
        } else {
            input += id + "," + std::to_string(lat) + "," + std::to_string(lon) + ",\n";
        }
    }
    return input;
}

TEST_F(Batch, IsTheSameInTheSameOrderHoweverManyAnswer) {
    for (const int rows : {8191, 8192, 8193, 30000}) {
        const std::string input = many_rows(rows);
        for (const char* format : {"csv", "ndjson"}) {
            const BatchRun alone = answered(input, {"--jobs", "1", "--format", format});
            EXPECT_EQ(alone.status, 1);
            EXPECT_EQ(std::count(alone.out.begin(), alone.out.end(), '\n'),
                      rows + (std::string_view(format) == "csv" ? 1 : 0));
            for (const char* jobs : {"2", "3", "7"}) {
                const BatchRun together = answered(input, {"--jobs", jobs, "--format", format});
                EXPECT_EQ(together.status, alone.status);
                EXPECT_TRUE(together.out == alone.out) << rows << format << jobs;
            }
        }
    }
    const Table table = table_of(answered(many_rows(20000), {"--jobs", "3"}).out);
    ASSERT_EQ(table.size(), 20001U);
    for (std::size_t i = 1; i < table.size(); ++i)
        EXPECT_EQ(table[i][kId], "row " + std::to_string(i - 1));
}

TEST_F(Batch, AnOutputThatClosesEndsTheWork) {
    const std::string input = test::file_in_test_folder("many.csv", many_rows(60000));
    const std::vector<const char*> argv{
        "thirstline-lookup", "batch",  "--db", database_->c_str(), "--input",
        input.c_str(),       "--jobs", "3",    "--allow-missing"};
    struct ClosingSink final : TextSink {
        Result<void> write(std::string_view text) override {
            written += text.size();
            if (written > 1'000'000) return fail(ErrorCode::io, "the output was closed");
            return {};
        }
        std::size_t written = 0;
    } sink;
    const auto status = run_lookup(static_cast<int>(argv.size()), argv.data(), Environment{}, sink);
    ASSERT_FALSE(status);
    EXPECT_EQ(status.error().code, ErrorCode::io);
}

TEST_F(Batch, RefusesATableWithoutUsableColumns) {
    for (const auto& [input, says] :
         {std::pair{"", "is empty"}, std::pair{"47.25,-30.5\n", "sites.csv:1: "},
          std::pair{"lat;lon\n1;2\n", ":1: the header must have lat and lon"},
          std::pair{"id,lat\na,1\n", "lacks the column \"lon\""},
          std::pair{"lon\n1\n", "lacks the column \"lat\""},
          std::pair{"lat,lon,lat\n1,2,3\n", "the column \"lat\" is given twice"},
          std::pair{"country\nUS\n", "sites.csv:1: "}, std::pair{"\n\nid\n1\n", "sites.csv:3: "}}) {
        const BatchRun batch = answered(input);
        EXPECT_EQ(batch.status, 3) << input;
        EXPECT_EQ(batch.out, "") << input;
        EXPECT_NE(batch.error.message.find("sites.csv"), std::string::npos) << batch.error.message;
        EXPECT_NE(batch.error.message.find(says), std::string::npos) << batch.error.message;
    }
}

TEST_F(Batch, OfAMissingFileOrWordIsRefused) {
    EXPECT_EQ(
        run({"batch", "--db", *database_, "--input", test::path_in_test_folder("none.csv")}).status,
        5);
    EXPECT_EQ(answered("lat,lon\n", {"--format", "json"}).status, 2);
}

}  // namespace
}  // namespace thirstline
