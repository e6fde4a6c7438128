// The C++ interface, compiled as C++17: its conversion of the C interface's answers.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>
#include <iterator>
#include <thirstline/thirstline.hpp>

#include "tests/lookup/library/merrow_file.hpp"

namespace {

using thirstline::ErrorCode;
using thirstline::File;
using thirstline::LatLon;
using thirstline::PostalCode;
using thirstline::SiteQuery;

static_assert(__cplusplus < 202002L, "the header is to serve C++17, so it is tested as that");

class CppInterface : public testing::Test {
  protected:
    static File opened() {
        auto file = File::open(merrow_file_path());
        EXPECT_TRUE(file) << file.error().message;
        return std::move(*file);
    }
    File file_ = opened();
};

// The valley's numbers are those of tests/support/merrow_database.hpp: at a point of row r and
// column c July has 5.60 + 0.08 r mm of ETo a day and 15 + 4 c mm of rain.
TEST_F(CppInterface, AnswersByCoordinates) {
    const auto site = file_.site(LatLon{47.25, -30.5});
    ASSERT_TRUE(site);
    ASSERT_TRUE(site->found);
    EXPECT_TRUE(site->interpolated);
    EXPECT_EQ(site->peak_month, 7);
    EXPECT_EQ(site->months[6].eto_mm_per_day, 5.68);
    EXPECT_EQ(site->months[6].eto_mm, 31 * 568 / 100.0);
    EXPECT_EQ(site->months[6].rain_mm, 23.0);
    EXPECT_EQ(site->months[6].percent_of_peak, 100.0);
    EXPECT_EQ(site->months[1].tmax_c, 2.5);
    EXPECT_EQ(site->months[1].tmin_c, -3.0);
    EXPECT_EQ(site->data_elevation_m, 140.0);
    EXPECT_EQ(site->months[6].fixed.eto, 568 * 100);
    EXPECT_EQ(site->method, "penman-monteith");
    EXPECT_EQ(site->period, "1991-2020");
    EXPECT_DOUBLE_EQ(site->asked_at->lat_deg, 47.25);
}

TEST_F(CppInterface, AdjustsValuesToTheSitesElevation) {
    const auto site = file_.site(LatLon{47.25, -30.5}, 1140);
    ASSERT_TRUE(site);
    EXPECT_EQ(site->shifted_by_m, 1000.0);
    EXPECT_DOUBLE_EQ(*site->months[6].eto_mm_per_day, 5.98);  // + 0.3 mm/day a km
    EXPECT_EQ(site->elevation_m, 1140);
}

TEST_F(CppInterface, AnswersByPostalCode) {
    const auto site = file_.site(PostalCode{"04021", "US"});
    ASSERT_TRUE(site);
    EXPECT_EQ(site->place, "Quarry Bend");
    EXPECT_EQ(site->postal, "04021");
    EXPECT_EQ(site->country, "US");
}

TEST_F(CppInterface, ReportsTheCountriesOfAnAmbiguousCode) {
    const auto site = file_.site(PostalCode{"97401"});
    ASSERT_FALSE(site);
    EXPECT_EQ(site.error().code, ErrorCode::ambiguous);
    EXPECT_EQ(site.error().countries, (std::vector<std::string>{"MX", "US"}));
}

TEST_F(CppInterface, NoDataIsAnAnswerAndNotAnError) {
    const auto site = file_.site(LatLon{0.0, 0.0});
    ASSERT_TRUE(site);
    EXPECT_FALSE(site->found);
    EXPECT_EQ(site->reason, "the file has no data within 40 km of 0,0");
    EXPECT_FALSE(site->months[0].eto_mm);
    const auto unknown = file_.site(PostalCode{"00000", "XM"});
    ASSERT_TRUE(unknown);
    EXPECT_FALSE(unknown->found);
    EXPECT_FALSE(unknown->asked_at);
}

TEST_F(CppInterface, RefusesASwappedPosition) {
    const auto site = file_.site(LatLon{-123.0, 44.0});
    ASSERT_FALSE(site);
    EXPECT_EQ(site.error().code, ErrorCode::usage);
}

TEST_F(CppInterface, AnswersManyInOrder) {
    std::vector<SiteQuery> queries;
    for (int i = 0; i < 9000; ++i) {
        if (i % 4 == 3)
            queries.push_back({PostalCode{"4021", "XM"}, 300});
        else if (i % 4 == 2)
            queries.push_back({PostalCode{"97401"}, std::nullopt});
        else
            queries.push_back({LatLon{47.0 + i % 100 * 0.01, -30.9}, std::nullopt});
    }
    const auto sites = file_.sites(queries, 2);
    ASSERT_TRUE(sites) << sites.error().message;
    ASSERT_EQ(sites->size(), queries.size());
    for (std::size_t i = 0; i < queries.size(); i += 7) {
        const auto& many = (*sites)[i];
        if (i % 4 == 2) {
            EXPECT_FALSE(many.found);
            EXPECT_EQ(many.miss, ErrorCode::ambiguous);
            continue;
        }
        const auto* at = std::get_if<LatLon>(&queries[i].place);
        const auto alone = at != nullptr ? file_.site(*at)
                                         : file_.site(std::get<PostalCode>(queries[i].place), 300);
        ASSERT_TRUE(alone);
        for (std::size_t m = 0; m < 12; ++m) {
            EXPECT_EQ(many.months[m].fixed.eto, alone->months[m].fixed.eto);
            EXPECT_EQ(many.months[m].rain_mm, alone->months[m].rain_mm);
        }
        EXPECT_EQ(many.place, alone->place);
    }
    EXPECT_TRUE(file_.sites(std::vector<SiteQuery>{})->empty());
}

TEST_F(CppInterface, OpensMemoryAndDescriptors) {
    const std::string path = merrow_file_path();
    std::ifstream stream(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(stream), {}};
    auto memory = File::open_memory(bytes.data(), bytes.size());
    ASSERT_TRUE(memory) << memory.error().message;
    EXPECT_EQ(memory->site(LatLon{47.25, -30.5})->months[6].eto_mm_per_day, 5.68);
    EXPECT_EQ(File::open_memory(bytes.data(), 50).error().code, ErrorCode::bad_file);

    const int descriptor = open(path.c_str(), O_RDONLY);
    auto asset = File::open_descriptor(descriptor);
    EXPECT_EQ(File::open_descriptor(descriptor, 0, 1'000'000'000).error().code, ErrorCode::usage);
    close(descriptor);
    ASSERT_TRUE(asset) << asset.error().message;
    EXPECT_EQ(asset->site(LatLon{47.25, -30.5})->months[6].eto_mm_per_day, 5.68);
}

TEST_F(CppInterface, GivesJson) {
    const auto site =
        file_.site_json({LatLon{47.25, -30.5}}, {"month,eto_mm\n7,200\n", "mean", "day"});
    ASSERT_TRUE(site) << site.error().message;
    EXPECT_NE(site->find("\"eto_mm\": 200.0"), std::string::npos);
    EXPECT_NE(file_.site_json({LatLon{-10.0, 100.0}})->find("\"found\": false"), std::string::npos);
    const auto plan = file_.demand_json({LatLon{47.25, -30.5}}, "[[zone]]\nplanting = 3\n");
    EXPECT_EQ(plan.error().code, ErrorCode::usage);
    EXPECT_EQ(plan.error().message.rfind("zones:2: ", 0), 0U) << plan.error().message;
}

TEST_F(CppInterface, DescribesTheBaseline) {
    const auto baseline = file_.baseline();
    ASSERT_TRUE(baseline);
    EXPECT_EQ(baseline->title, "Upper Merrow water baseline");
    EXPECT_EQ(baseline->divisors.eto_per_mm_per_day, 10000);
    ASSERT_EQ(baseline->sources.size(), 2U);
    EXPECT_EQ(baseline->sources[0].licence, "CC BY 4.0");
    EXPECT_TRUE(baseline->has_temperature);
}

TEST_F(CppInterface, ListsTheStationsUsed) {
    const auto stations = file_.stations_near(LatLon{47.2, -30.6});
    ASSERT_TRUE(stations);
    ASSERT_EQ(stations->size(), 3U);
    EXPECT_EQ(stations->front().name, "Merrow Ford");
    double sum = 0.0;
    for (const auto& station : *stations) sum += station.weight;
    EXPECT_NEAR(sum, 1.0, 1e-12);
    EXPECT_FALSE(file_.stations_near(LatLon{91.0, 0.0}));
}

TEST_F(CppInterface, VerifiesTheFile) {
    EXPECT_TRUE(file_.verify());
}

TEST(CppInterfaceOpening, GivesAnErrorAsAValue) {
    const auto file = File::open("no such file.sqlite");
    ASSERT_FALSE(file);
    EXPECT_EQ(file.error().code, ErrorCode::io);
    EXPECT_NE(file.error().message.find("no such file.sqlite"), std::string::npos);
}

}  // namespace
