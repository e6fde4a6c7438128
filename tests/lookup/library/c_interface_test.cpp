// The C interface compared with the look-up's own core: the same integers and the same doubles, and
// every error as a status.
#include <gtest/gtest.h>
#include <thirstline/thirstline.h>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <limits>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "lookup/site/near_stations.hpp"
#include "lookup/site/site_profile.hpp"
#include "schema/database/database.hpp"
#include "schema/text/rounding.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

template <class Plain>
Plain sized() {
    Plain plain{};
    plain.struct_size = sizeof plain;
    return plain;
}

class CInterface : public testing::Test {
  protected:
    static void SetUpTestSuite() { path_ = new std::string(test::merrow_database()); }
    static void TearDownTestSuite() { delete path_; }
    void SetUp() override {
        ASSERT_EQ(thirstline_open(path_->c_str(), &file_, &error_), THIRSTLINE_OK);
    }
    void TearDown() override { thirstline_close(file_); }

    static const std::string* path_;
    thirstline_file* file_ = nullptr;
    thirstline_error error_ = sized<thirstline_error>();
    thirstline_site site_ = sized<thirstline_site>();
};
const std::string* CInterface::path_ = nullptr;

/// Equal, or both unknown.
void expect_same(double theirs, const std::optional<double>& ours) {
    EXPECT_EQ(std::isnan(theirs), !ours.has_value());
    if (ours) {
        EXPECT_EQ(theirs, *ours);
    }
}

void expect_same_site(const thirstline_site& theirs, const Answer& answer,
                      const TileLayout& layout) {
    const SiteProfile ours = site_profile(answer, layout);
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_EQ(theirs.eto_fixed[m], answer.of(LayerId::eto)[m]);
        EXPECT_EQ(theirs.eto_se_fixed[m], answer.of(LayerId::eto_se)[m]);
        EXPECT_EQ(theirs.rain_fixed[m], answer.of(LayerId::rain)[m]);
        EXPECT_EQ(theirs.rain_se_fixed[m], answer.of(LayerId::rain_se)[m]);
        EXPECT_EQ(theirs.tmax_fixed[m], answer.of(LayerId::tmax)[m]);
        EXPECT_EQ(theirs.tmin_fixed[m], answer.of(LayerId::tmin)[m]);
        EXPECT_EQ(theirs.method_codes[m], answer.method[m]);
        expect_same(theirs.eto_mm_per_day[m], ours.months[m].eto_mm_per_day);
        expect_same(theirs.eto_mm[m], ours.months[m].eto_mm);
        expect_same(theirs.eto_se_mm[m], ours.months[m].eto_se_mm);
        expect_same(theirs.rain_mm[m], ours.months[m].rain_mm);
        expect_same(theirs.rain_se_mm[m], ours.months[m].rain_se_mm);
        expect_same(theirs.tmax_c[m], ours.months[m].tmax_c);
        expect_same(theirs.tmin_c[m], ours.months[m].tmin_c);
        expect_same(theirs.percent_of_peak[m], ours.months[m].percent_of_peak);
    }
    expect_same(theirs.annual_eto_mm, ours.annual_eto_mm);
    expect_same(theirs.annual_rain_mm, ours.annual_rain_mm);
    EXPECT_EQ(theirs.peak_month, ours.peak_month.value_or(0));
    EXPECT_EQ(theirs.point_lat_e7, answer.at.lat_e7);
    EXPECT_EQ(theirs.point_lon_e7, answer.at.lon_e7);
    EXPECT_EQ(theirs.interpolated, answer.interpolated ? 1 : 0);
    EXPECT_EQ(theirs.distance_m, answer.distance_m);
    EXPECT_EQ(theirs.shifted_by_cm, answer.shifted_by_cm);
    EXPECT_EQ(theirs.data_elevation_fixed, answer.of(LayerId::elevation)[0]);
    expect_same(theirs.data_elevation_m, ours.point.elevation_m);
    EXPECT_STREQ(theirs.method, method_name(ours.point.method).c_str());
    EXPECT_STREQ(theirs.method_note, method_note(ours.point.method).c_str());
}

TEST_F(CInterface, AnswersTheCoresIntegersAtRandomPoints) {
    const auto database = std::move(*Database::open(*path_));
    std::mt19937 random(6);
    std::uniform_real_distribution<double> lat_deg(46.4, 48.6);
    std::uniform_real_distribution<double> lon_deg(-31.6, -29.4);
    std::uniform_int_distribution<std::int32_t> elevation_m(-200, 2000);
    int found = 0;
    for (int i = 0; i < 3000; ++i) {
        const LatLon at{lat_deg(random), lon_deg(random)};
        const std::int32_t height_m = elevation_m(random);
        const bool with_height = i % 2 == 0;
        const auto ours = database->answer(
            to_e7(at), with_height ? std::optional<std::int32_t>(height_m) : std::nullopt);
        ASSERT_TRUE(ours);
        const auto status = thirstline_site_at(file_, {at.lat_deg, at.lon_deg},
                                               with_height ? &height_m : nullptr, &site_, &error_);
        const bool too_far = ours->found && with_height && ours->exceeds_max_adjustment;
        ASSERT_EQ(status, !ours->found ? THIRSTLINE_NO_DATA
                          : too_far    ? THIRSTLINE_USAGE
                                       : THIRSTLINE_OK);
        EXPECT_EQ(site_.lat_e7, to_e7(at).lat_e7);
        EXPECT_EQ(site_.elevation_m, with_height ? height_m : THIRSTLINE_UNKNOWN);
        if (status != THIRSTLINE_OK) continue;
        ++found;
        expect_same_site(site_, *ours, database->layout());
    }
    EXPECT_GT(found, 1000);
    EXPECT_LT(found, 3000);
}

TEST_F(CInterface, GivesTheDivisorsOfItsIntegers) {
    auto baseline = sized<thirstline_baseline>();
    ASSERT_EQ(thirstline_get_baseline(file_, &baseline, &error_), THIRSTLINE_OK);
    ASSERT_EQ(thirstline_site_at(file_, {47.3, -30.6}, nullptr, &site_, &error_), THIRSTLINE_OK);
    EXPECT_EQ(site_.eto_mm_per_day[6],
              site_.eto_fixed[6] / static_cast<double>(baseline.eto_units_per_mm_per_day));
    EXPECT_EQ(site_.rain_mm[6],
              site_.rain_fixed[6] / static_cast<double>(baseline.rain_units_per_mm));
    EXPECT_EQ(site_.tmax_c[6],
              site_.tmax_fixed[6] / static_cast<double>(baseline.tmax_units_per_degree));
    EXPECT_EQ(site_.data_elevation_m,
              site_.data_elevation_fixed / static_cast<double>(baseline.elevation_units_per_m));
    EXPECT_EQ(baseline.has_temperature, 1);
    EXPECT_EQ(baseline.has_standard_errors, 1);
}

TEST_F(CInterface, DescribesTheBaselineAndItsSources) {
    auto baseline = sized<thirstline_baseline>();
    ASSERT_EQ(thirstline_get_baseline(file_, &baseline, &error_), THIRSTLINE_OK);
    EXPECT_STREQ(baseline.title, "Upper Merrow water baseline");
    EXPECT_STREQ(baseline.notice, "Invented data, for tests only.");
    EXPECT_STREQ(baseline.reference, "short");
    EXPECT_EQ(std::strlen(baseline.content_sha256), 64U);
    ASSERT_EQ(baseline.source_count, 2);
    auto source = sized<thirstline_source>();
    ASSERT_EQ(thirstline_get_source(file_, 1, &source, &error_), THIRSTLINE_OK);
    EXPECT_STREQ(source.variable, "tmin");
    EXPECT_STREQ(source.licence, "CC BY 4.0");
    EXPECT_STREQ(source.attribution, "Merrow Valley Weather Society");
    EXPECT_EQ(thirstline_get_source(file_, 2, &source, &error_), THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_get_source(file_, -1, &source, &error_), THIRSTLINE_USAGE);
}

TEST_F(CInterface, FindsPostalCodesInAllSpellings) {
    ASSERT_EQ(thirstline_site_of_postal_code(file_, " ab  1", nullptr, nullptr, &site_, &error_),
              THIRSTLINE_OK);
    EXPECT_STREQ(site_.postal, "AB 1");
    EXPECT_STREQ(site_.country, "XM");
    EXPECT_STREQ(site_.place, "Upper Mill");
    EXPECT_EQ(site_.lat_e7, 474'000'000);
    ASSERT_EQ(thirstline_site_of_postal_code(file_, "97401-1234", "us", nullptr, &site_, &error_),
              THIRSTLINE_OK);
    EXPECT_STREQ(site_.place, "Alder Steps");
}

TEST_F(CInterface, NamesTheCountriesOfAnAmbiguousCode) {
    ASSERT_EQ(thirstline_site_of_postal_code(file_, "97401", nullptr, nullptr, &site_, &error_),
              THIRSTLINE_AMBIGUOUS);
    EXPECT_EQ(error_.status, THIRSTLINE_AMBIGUOUS);
    EXPECT_STREQ(error_.countries, "MX US");
    EXPECT_NE(std::strstr(error_.message, "MX, US"), nullptr) << error_.message;
    EXPECT_EQ(std::strstr(error_.hint, "--"), nullptr)
        << "no option of the command: " << error_.hint;
    EXPECT_EQ(site_.status, THIRSTLINE_AMBIGUOUS);
    EXPECT_TRUE(std::isnan(site_.eto_mm[0]));
    EXPECT_EQ(site_.eto_fixed[0], THIRSTLINE_UNKNOWN);
}

TEST_F(CInterface, AMissHasAReasonAndNoNumbers) {
    ASSERT_EQ(thirstline_site_at(file_, {0.0, 0.0}, nullptr, &site_, &error_), THIRSTLINE_NO_DATA);
    EXPECT_STREQ(site_.reason, "the file has no data within 40 km of 0,0");
    EXPECT_STREQ(error_.message, site_.reason);
    EXPECT_TRUE(std::isnan(site_.annual_eto_mm));
    EXPECT_EQ(site_.peak_month, 0);
    EXPECT_STREQ(site_.method, "");
    ASSERT_EQ(thirstline_site_of_postal_code(file_, "00000", "XM", nullptr, &site_, &error_),
              THIRSTLINE_NO_DATA);
    EXPECT_EQ(site_.lat_e7, THIRSTLINE_UNKNOWN);
    EXPECT_STREQ(site_.postal, "00000");
}

TEST_F(CInterface, RejectsAnInvalidPlace) {
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    constexpr double kInfinity = std::numeric_limits<double>::infinity();
    for (const thirstline_lat_lon at :
         {thirstline_lat_lon{90.1, 0.0}, thirstline_lat_lon{0.0, 180.1},
          thirstline_lat_lon{kNan, 0.0}, thirstline_lat_lon{0.0, kInfinity},
          thirstline_lat_lon{-30.6, 1e300}}) {
        EXPECT_EQ(thirstline_site_at(file_, at, nullptr, &site_, &error_), THIRSTLINE_USAGE);
        EXPECT_NE(error_.message[0], '\0');
        EXPECT_EQ(site_.status, THIRSTLINE_USAGE);
    }
    EXPECT_EQ(thirstline_site_at(file_, {-123.0, 44.0}, nullptr, &site_, &error_),
              THIRSTLINE_USAGE);
    EXPECT_NE(std::strstr(error_.message, "swapped"), nullptr) << error_.message;
    const std::int32_t too_high_m = 10'001;
    EXPECT_EQ(thirstline_site_at(file_, {47.3, -30.6}, &too_high_m, &site_, &error_),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_site_of_postal_code(file_, "", nullptr, nullptr, &site_, &error_),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_site_of_postal_code(file_, "4021", "XMM", nullptr, &site_, &error_),
              THIRSTLINE_USAGE);
}

/// As for the command and batch: values are adjusted by at most 1,500 m.
TEST_F(CInterface, RejectsAnElevationFarFromTheTerrain) {
    const thirstline_lat_lon at{47.3, -30.6};
    ASSERT_EQ(thirstline_site_at(file_, at, nullptr, &site_, &error_), THIRSTLINE_OK);
    const auto terrain_m = static_cast<std::int32_t>(site_.data_elevation_m);
    const std::int32_t near_m = terrain_m + 1495;
    const std::int32_t far_m = terrain_m + 1505;
    ASSERT_EQ(thirstline_site_at(file_, at, &near_m, &site_, &error_), THIRSTLINE_OK);
    EXPECT_NEAR(site_.shifted_by_cm, 149'500, 100);
    EXPECT_EQ(thirstline_site_at(file_, at, &far_m, &site_, &error_), THIRSTLINE_USAGE);
    EXPECT_NE(std::strstr(error_.message, "the maximum adjustment is 1500 m"), nullptr)
        << error_.message;
    EXPECT_EQ(site_.status, THIRSTLINE_USAGE);
    EXPECT_TRUE(std::isnan(site_.eto_mm[6]));
}

TEST_F(CInterface, RefusesNullPointersAndStructsThatAreTooSmall) {
    const thirstline_lat_lon at{47.3, -30.6};
    EXPECT_EQ(thirstline_site_at(nullptr, at, nullptr, &site_, &error_), THIRSTLINE_USAGE);
    EXPECT_STREQ(error_.message, "file is a null pointer");
    EXPECT_EQ(thirstline_site_at(file_, at, nullptr, nullptr, &error_), THIRSTLINE_USAGE);
    thirstline_site forgotten{};
    EXPECT_EQ(thirstline_site_at(file_, at, nullptr, &forgotten, &error_), THIRSTLINE_USAGE);
    thirstline_error no_size{};
    EXPECT_EQ(thirstline_site_at(file_, at, nullptr, &site_, &no_size), THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_site_at(file_, at, nullptr, &site_, nullptr), THIRSTLINE_OK);
    EXPECT_EQ(thirstline_site_of_postal_code(file_, nullptr, nullptr, nullptr, &site_, &error_),
              THIRSTLINE_USAGE);
    thirstline_file* opened = file_;
    EXPECT_EQ(thirstline_open(nullptr, &opened, nullptr), THIRSTLINE_USAGE);
    EXPECT_EQ(opened, nullptr);
    EXPECT_EQ(thirstline_open("a", nullptr, &error_), THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_verify(nullptr, &error_), THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_get_baseline(nullptr, nullptr, &error_), THIRSTLINE_USAGE);
    thirstline_close(nullptr);
}

/// A program of tomorrow, whose struct is longer, gets what we know and zeros after it.
TEST_F(CInterface, FillsALongerStructOfALaterVersion) {
    struct LaterSite {
        thirstline_site site;
        std::int64_t later;
    };
    LaterSite longer{};
    longer.site.struct_size = sizeof longer;
    longer.later = -1;
    ASSERT_EQ(thirstline_site_at(file_, {47.3, -30.6}, nullptr, &longer.site, &error_),
              THIRSTLINE_OK);
    ASSERT_EQ(thirstline_site_at(file_, {47.3, -30.6}, nullptr, &site_, &error_), THIRSTLINE_OK);
    EXPECT_EQ(longer.later, 0);
    EXPECT_EQ(longer.site.struct_size, sizeof longer);
    EXPECT_EQ(longer.site.eto_fixed[3], site_.eto_fixed[3]);
}

std::vector<thirstline_query> many_queries(std::size_t count) {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> lat_deg(46.5, 48.5);
    std::uniform_real_distribution<double> lon_deg(-31.5, -29.5);
    std::vector<thirstline_query> queries(count, sized<thirstline_query>());
    for (std::size_t i = 0; i < count; ++i) {
        queries[i].lat_lon = {lat_deg(random), lon_deg(random)};
        queries[i].elevation_m = i % 3 == 0 ? 700 : THIRSTLINE_UNKNOWN;
        if (i % 10 == 0) queries[i].postal = i % 20 == 0 ? "97401" : "4021";
        if (i % 40 == 0) queries[i].country = "MX";
    }
    return queries;
}

TEST_F(CInterface, AnswersManyAsItAnswersEach) {
    const auto queries = many_queries(2500);
    for (const std::int32_t jobs : {1, 3, 0}) {
        std::vector<thirstline_site> sites(queries.size(), sized<thirstline_site>());
        ASSERT_EQ(
            thirstline_sites(file_, queries.data(), queries.size(), jobs, sites.data(), &error_),
            THIRSTLINE_OK);
        for (std::size_t i = 0; i < queries.size(); ++i) {
            const thirstline_query& query = queries[i];
            const std::int32_t* const height_m =
                query.elevation_m == THIRSTLINE_UNKNOWN ? nullptr : &query.elevation_m;
            auto alone = sized<thirstline_site>();
            if (query.postal != nullptr) {
                (void)thirstline_site_of_postal_code(file_, query.postal, query.country, height_m,
                                                     &alone, nullptr);
            } else {
                (void)thirstline_site_at(file_, query.lat_lon, height_m, &alone, nullptr);
            }
            // Texts of the file are the same pointers, too.
            ASSERT_EQ(std::memcmp(&alone, &sites[i], sizeof alone), 0) << i << " with " << jobs;
        }
    }
}

TEST_F(CInterface, SeveralThreadsEachHaveAFile) {
    ASSERT_EQ(thirstline_site_at(file_, {47.3, -30.6}, nullptr, &site_, &error_), THIRSTLINE_OK);
    std::vector<std::thread> threads;
    std::vector<int> wrong(4, 0);
    for (std::size_t t = 0; t < wrong.size(); ++t) {
        threads.emplace_back([this, &wrong, t] {
            thirstline_file* own = nullptr;
            if (thirstline_open(path_->c_str(), &own, nullptr) != THIRSTLINE_OK) wrong[t] = 1;
            for (int i = 0; i < 200 && wrong[t] == 0; ++i) {
                auto site = sized<thirstline_site>();
                (void)thirstline_site_at(own, {47.3, -30.6}, nullptr, &site, nullptr);
                if (std::memcmp(site.eto_fixed, site_.eto_fixed, sizeof site.eto_fixed) != 0)
                    wrong[t] = 1;
            }
            thirstline_close(own);
        });
    }
    for (std::thread& thread : threads) thread.join();
    for (const int of_thread : wrong) EXPECT_EQ(of_thread, 0);
}

TEST_F(CInterface, RejectsAnInvalidNumberOfThreads) {
    const auto queries = many_queries(2);
    std::vector<thirstline_site> sites(2, sized<thirstline_site>());
    EXPECT_EQ(thirstline_sites(file_, queries.data(), 2, -1, sites.data(), &error_),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_sites(file_, queries.data(), 2, 257, sites.data(), &error_),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_sites(file_, nullptr, 0, 1, nullptr, &error_), THIRSTLINE_OK);
}

TEST_F(CInterface, RoundsAsTheProgramsDo) {
    for (const double value : {0.695, -0.695, 2.5, 21.4449, 0.05, -0.04}) {
        for (const int decimals : {0, 1, 2, 3})
            EXPECT_EQ(thirstline_rounded(value, decimals), rounded(value, decimals));
    }
    EXPECT_EQ(thirstline_rounded(0.695, 2), 0.7);
    EXPECT_TRUE(std::isnan(thirstline_rounded(std::numeric_limits<double>::quiet_NaN(), 1)));
    EXPECT_EQ(thirstline_rounded(1e300, 1), 1e300);
    EXPECT_EQ(thirstline_rounded(1.25, -3), 1.0);
    EXPECT_EQ(thirstline_rounded(1.25, 99), 1.25);
}

TEST_F(CInterface, NamesItsVersion) {
    EXPECT_STREQ(thirstline_version(), THIRSTLINE_VERSION_STRING);
    EXPECT_EQ(thirstline_version_number(), THIRSTLINE_VERSION_NUMBER);
}

TEST(CInterfaceOpening, ReportsWhatIsWrongWithAFile) {
    thirstline_file* file = nullptr;
    auto error = sized<thirstline_error>();
    const std::string absent = test::path_in_test_folder("absent.sqlite");
    EXPECT_EQ(thirstline_open(absent.c_str(), &file, &error), THIRSTLINE_IO);
    EXPECT_NE(std::strstr(error.message, "absent.sqlite"), nullptr) << error.message;
    EXPECT_EQ(file, nullptr);
    const std::string foreign = test::file_in_test_folder("foreign.sqlite", "no database at all");
    EXPECT_EQ(thirstline_open(foreign.c_str(), &file, &error), THIRSTLINE_BAD_FILE);
}

/// A message longer than its array ends between two characters, and with a zero byte.
TEST(CInterfaceOpening, CutsALongMessageBetweenCharacters) {
    thirstline_file* file = nullptr;
    auto error = sized<thirstline_error>();
    for (const std::string start : {"", "a", "aa"}) {
        std::string path = start;
        while (path.size() < 3000) path += "\u20AC";  // three bytes each
        EXPECT_EQ(thirstline_open(path.c_str(), &file, &error), THIRSTLINE_IO);
        const std::string message = error.message;
        EXPECT_LE(message.size(), sizeof error.message - 1);
        EXPECT_GE(message.size(), sizeof error.message - 3);
        EXPECT_EQ(message.substr(message.size() - 3), "\u20AC");
    }
}

TEST(CInterfaceOpening, VerifiesAFile) {
    const std::string path = test::merrow_database();
    const auto status_of_file = [&path] {
        thirstline_file* file = nullptr;
        thirstline_status status = thirstline_open(path.c_str(), &file, nullptr);
        if (status == THIRSTLINE_OK) status = thirstline_verify(file, nullptr);
        thirstline_close(file);
        return status;
    };
    EXPECT_EQ(status_of_file(), THIRSTLINE_OK);
    std::fstream stream(path, std::ios::in | std::ios::out | std::ios::binary);
    stream.seekp(-20, std::ios::end);
    stream.put('\x55');
    stream.put('\xAA');
    stream.close();
    EXPECT_EQ(status_of_file(), THIRSTLINE_BAD_FILE);
}

/// Stations of the valley, nearest first, with the core's own numbers.
TEST(CInterfaceStations, AreThoseOfTheCore) {
    const std::string path = test::merrow_database({.stations = true});
    const auto database = std::move(*Database::open(path));
    const auto records = database->stations();
    ASSERT_TRUE(records);
    ASSERT_GE(records->size(), 3U);
    const LatLonE7 site = to_e7({47.3, -30.6});
    const std::int32_t height_m = 300;
    const auto ours =
        near_stations(*records, site, height_m, station_kernel(*database), records->size());

    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open(path.c_str(), &file, nullptr), THIRSTLINE_OK);
    std::vector<thirstline_station> theirs(10, sized<thirstline_station>());
    std::size_t count = 0;
    ASSERT_EQ(thirstline_stations_near(file, {47.3, -30.6}, &height_m, theirs.data(), theirs.size(),
                                       &count, nullptr),
              THIRSTLINE_OK);
    ASSERT_EQ(count, ours.size());
    for (std::size_t i = 0; i < count; ++i) {
        EXPECT_EQ(theirs[i].name, ours[i].record.name);
        EXPECT_EQ(theirs[i].variables, ours[i].record.variables);
        EXPECT_EQ(theirs[i].elevation_m, ours[i].record.elevation_m);
        EXPECT_EQ(theirs[i].distance_km, ours[i].distance_km);
        EXPECT_EQ(theirs[i].elevation_difference_m, *ours[i].elevation_difference_m);
        EXPECT_EQ(theirs[i].weight, ours[i].weight);
    }
    ASSERT_EQ(
        thirstline_stations_near(file, {47.3, -30.6}, nullptr, theirs.data(), 2, &count, nullptr),
        THIRSTLINE_OK);
    EXPECT_EQ(count, 2U);
    ASSERT_EQ(thirstline_stations_near(file, {47.3, -30.6}, nullptr, nullptr, 0, &count, nullptr),
              THIRSTLINE_OK);
    EXPECT_EQ(count, 0U);
    thirstline_close(file);
}

TEST(CInterfaceLayers, WhatAFileLacksIsUnknown) {
    const std::string path =
        test::merrow_database({.temperature = false, .standard_errors = false});
    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open(path.c_str(), &file, nullptr), THIRSTLINE_OK);
    auto site = sized<thirstline_site>();
    ASSERT_EQ(thirstline_site_at(file, {47.3, -30.6}, nullptr, &site, nullptr), THIRSTLINE_OK);
    auto baseline = sized<thirstline_baseline>();
    ASSERT_EQ(thirstline_get_baseline(file, &baseline, nullptr), THIRSTLINE_OK);
    EXPECT_TRUE(std::isnan(site.tmax_c[0]));
    EXPECT_EQ(site.tmax_fixed[0], THIRSTLINE_UNKNOWN);
    EXPECT_TRUE(std::isnan(site.eto_se_mm[0]));
    EXPECT_EQ(site.eto_se_fixed[0], THIRSTLINE_UNKNOWN);
    EXPECT_FALSE(std::isnan(site.eto_mm[0]));
    EXPECT_EQ(baseline.has_temperature, 0);
    EXPECT_EQ(baseline.has_standard_errors, 0);
    EXPECT_EQ(baseline.tmax_units_per_degree, 0);
    thirstline_close(file);
}

}  // namespace
}  // namespace thirstline
