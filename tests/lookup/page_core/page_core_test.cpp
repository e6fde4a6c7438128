// The page's core as native code, through the C interface, compared with the command's own JSON.
// (check_page_core.mjs tests WebAssembly.)
#include "lookup/page_core/page_core.h"

#include <gtest/gtest.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <random>
#include <string>

#include "lookup/demand_output/demand_json.hpp"
#include "tests/support/climate_request.hpp"
#include "tests/support/demand_reports.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::ordered_json;

constexpr LatLonE7 kPlace{472'500'000, -305'000'000};  // that of merrow_demand

std::string climate(const test::MerrowOptions& options = {}) {
    const auto database = test::open_merrow(options);
    std::string request =
        test::climate_request(database->answer(kPlace, std::nullopt).value(), database->layout());
    // Nights without frost, 1 °C, as in merrow_demand: the season is the whole year.
    if (const std::size_t tmin = request.find("tmin="); tmin != std::string::npos) {
        request.replace(tmin, request.find('\n', tmin) - tmin, "tmin=1:1,1,1,1,1,1,1,1,1,1,1,1");
    }
    return request;
}

std::string answer_text(const std::string& request) {
    const std::unique_ptr<char, decltype(&page_core_release)> text(
        page_core_demand(request.data(), request.size()), &page_core_release);
    return {text.get(), page_core_text_bytes(text.get())};
}

Json answer(const std::string& request) {
    return Json::parse(answer_text(request));
}

std::string message(const std::string& request) {
    return answer(request)["error"]["message"];
}

/// From "zones" to "cautions", as the command has it.
std::string demand_members(const DemandReport& report) {
    std::string out;
    JsonWriter json(out, JsonLayout::one_line);
    json.open_object();
    write_demand(json, report);
    return out.substr(1);
}

struct TwoWays {
    std::string request;
    std::string zone_file;
};

const TwoWays kLawn{
    "planting=cool turf\narea-ft2=1500\nrate-in-per-h=1.4\nsoil=clay loam\nslope-percent=5\n"
    "distribution-uniformity=0.65\nallowed-days=Mon,Wed,Fri\nwindow-hours=2\nname=lawn\n",
    "[site]\nallowed_days = [\"Mon\", \"Wed\", \"Fri\"]\nwindow_hours = 2\n[[zone]]\nname = "
    "\"lawn\"\nplanting = \"cool turf\"\narea_ft2 = 1500\nrate_in_per_h = 1.4\nsoil = \"clay "
    "loam\"\nslope_percent = 5\ndistribution_uniformity = 0.65\n"};

/// In the upper Merrow it is so cold that turf is dormant all year.
const std::string kGreen = "dormant-months=none\n";

TEST(PageCore, HasTheCommandsNumbersAndCautions) {
    for (const bool temperature : {false, true}) {
        for (const bool standard_errors : {false, true}) {
            test::MerrowOptions options;
            options.temperature = temperature;
            options.standard_errors = standard_errors;
            const std::string text = answer_text(climate(options) + kLawn.request);
            const std::string members =
                demand_members(test::merrow_demand(kLawn.zone_file, options));
            EXPECT_NE(text.find(members), std::string::npos) << text << "\n" << members;
        }
    }
}

TEST(PageCore, HasTheWordsInTheUnitsAskedFor) {
    const Json metric = answer(climate() + kGreen + kLawn.request)["words"];
    const Json us = answer(climate() + kGreen + "units=us\n" + kLawn.request)["words"];
    EXPECT_EQ(metric["depth_unit"], "mm");
    EXPECT_EQ(us["depth_unit"], "in");
    ASSERT_EQ(us["months"].size(), 12U);
    // July: 0.8 · (5.60 + 0.08) mm/day in 31 days, 140.9 mm or 5.55 inches.
    EXPECT_EQ(metric["months"][6]["need"], "140.9");
    EXPECT_EQ(us["months"][6]["need"], "5.55");
    EXPECT_EQ(us["rules"], "Watering rules used: Mon, Wed, Fri; 2-hour water window.");
}

TEST(PageCore, RefusesWithTheCommandsSentences) {
    const std::string zone = climate() + "planting=cool turf\narea-m2=140\n";
    EXPECT_EQ(message(zone + "rate-mm-per-h=-3\n"),
              "--rate-mm-per-h must be a number from 0.1 to 500, not -3");
    EXPECT_EQ(message(zone + "rate-mm-per-h=12\ndays-per-week-cap=0\n"),
              "--days-per-week-cap must be a whole number from 1 to 7, not 0");
    const Json oak = answer(climate() + "planting=warm turff\n")["error"];
    EXPECT_EQ(oak["status"], 2);
    EXPECT_EQ(oak["hint"], "did you mean \"warm turf\"?");
    const Json salt = answer(zone + "rate-mm-per-h=12\nwater-ec-ds-per-m=60\n")["error"];
    EXPECT_EQ(salt["status"], 3);
}

TEST(PageCore, RefusesRequestsOfAnotherForm) {
    const std::string zone = "planting=cool turf\narea-m2=140\nrate-mm-per-h=12\n";
    const std::string eto = "eto=200:1,2,3,4,5,6,7,8,9,10,11,12\n";
    EXPECT_EQ(message(eto + zone + "area\n"),
              "the request's line \"area\" is not of the form name=value");
    EXPECT_EQ(message(eto + zone + "area-m2=3\n"), "the request gives \"area-m2\" twice");
    EXPECT_EQ(message(eto + zone + "area-m3=3\n"), "the request has the unknown name \"area-m3\"");
    EXPECT_EQ(message(eto + zone + "units=nautical\n"),
              "units must be us or metric, not \"nautical\"");
    EXPECT_EQ(message(eto + zone + "reference=maize\n"),
              "reference must be short or tall, not \"maize\"");
    for (const char* value :
         {"200", "0:1,2,3,4,5,6,7,8,9,10,11,12", "200:1,2,3", "200:1,2,3,4,5,6,7,8,9,10,11,x",
          "200:1,2,3,4,5,6,7,8,9,10,11,12,13", "200:1,2,3,4,5,6,7,8,9,10,11,99999999999"}) {
        EXPECT_EQ(message(zone + "eto=" + value + "\n"),
                  "the climate's eto must be a divisor from 1 to 10000, a colon and twelve whole "
                  "numbers, by commas")
            << value;
    }
    EXPECT_EQ(message(std::string(PAGE_CORE_MOST_BYTES + 1, 'x')),
              "the request has 65537 bytes, and may have 65536");
}

TEST(PageCore, RejectsAnUnusableClimate) {
    const std::string zone = "planting=cool turf\narea-m2=140\nrate-mm-per-h=12\n";
    const Json none = answer(zone)["error"];
    EXPECT_EQ(none["status"], 1);
    EXPECT_EQ(answer(zone + "eto=200:1,2,3,4,5,6,7,,9,10,11,12\n")["error"]["status"], 1);
    EXPECT_EQ(answer(zone + "eto=200:1,2,3,4,5,6,-7,8,9,10,11,12\n")["error"]["status"], 3);
    EXPECT_EQ(answer(climate() + zone + "reference=tall\n")["error"]["status"], 3);
}

TEST(PageCore, AnswersAnyBytesWithJson) {
    const std::string sound = climate() + kLawn.request + "units=us\n";
    std::mt19937 random(5);
    for (int run = 0; run < 3000; ++run) {
        std::string request = sound;
        for (std::size_t changes = 1 + random() % 4; changes > 0; --changes) {
            const std::size_t at = random() % request.size();
            switch (random() % 3) {
                case 0:
                    request[at] = static_cast<char>(random() % 256);
                    break;
                case 1:
                    request.insert(at, 1, "0123456789-=,:\n"[random() % 15]);
                    break;
                default:
                    request.erase(at, 1 + random() % 5);
            }
        }
        const Json json = Json::parse(answer_text(request), nullptr, false);
        ASSERT_FALSE(json.is_discarded()) << request;
        ASSERT_TRUE(json.contains("error") || json["zones"].size() == 1U) << request;
    }
}

}  // namespace
}  // namespace thirstline
