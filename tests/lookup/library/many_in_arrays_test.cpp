// Many sites in arrays are the same integers as one site at a time, whatever the number of threads.
#include <gtest/gtest.h>
#include <thirstline/thirstline.h>

#include <algorithm>
#include <limits>
#include <random>
#include <vector>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using Integers = std::vector<std::int32_t>;
constexpr std::size_t kMonthsOfSite = 12;
constexpr std::int32_t kNotWritten = 424'242;

/// Arrays for all values of so many sites.
struct AllArrays {
    explicit AllArrays(std::size_t count) {
        plain.struct_size = sizeof plain;
        for (std::int32_t* thirstline_site_arrays::*array :
             {&thirstline_site_arrays::status, &thirstline_site_arrays::point_lat_e7,
              &thirstline_site_arrays::point_lon_e7, &thirstline_site_arrays::distance_m,
              &thirstline_site_arrays::shifted_by_cm,
              &thirstline_site_arrays::data_elevation_fixed})
            add(array, count);
        for (std::int32_t* thirstline_site_arrays::*array :
             {&thirstline_site_arrays::eto_fixed, &thirstline_site_arrays::eto_se_fixed,
              &thirstline_site_arrays::rain_fixed, &thirstline_site_arrays::rain_se_fixed,
              &thirstline_site_arrays::tmax_fixed, &thirstline_site_arrays::tmin_fixed,
              &thirstline_site_arrays::method_codes})
            add(array, count * kMonthsOfSite);
    }
    void add(std::int32_t* thirstline_site_arrays::*array, std::size_t size) {
        values.emplace_back(size, kNotWritten);
        plain.*array = values.back().data();
    }
    std::vector<Integers> values;
    thirstline_site_arrays plain{};
};

struct Questions {
    std::vector<double> lat, lon;
    Integers elevation_m;
};

/// In and around the valley; some without an elevation, some that are not valid.
Questions random_questions(std::size_t count) {
    std::mt19937 random(24);  // NOLINT: the same in each run
    std::uniform_real_distribution<double> lat(46.5, 48.5);
    std::uniform_real_distribution<double> lon(-31.5, -29.5);
    std::uniform_int_distribution<std::int32_t> elevation(-1000, 10'000);
    Questions questions;
    for (std::size_t i = 0; i < count; ++i) {
        questions.lat.push_back(i % 101 == 0 ? 91.0 : lat(random));
        questions.lon.push_back(i % 103 == 0 ? std::numeric_limits<double>::quiet_NaN()
                                             : lon(random));
        questions.elevation_m.push_back(i % 107 == 0 ? 10'001
                                        : i % 2 == 0 ? THIRSTLINE_UNKNOWN
                                                     : elevation(random));
    }
    return questions;
}

class ManyInArrays : public testing::TestWithParam<bool> {
  protected:
    void SetUp() override {
        const std::string path = test::merrow_database({.temperature = GetParam()});
        ASSERT_EQ(thirstline_open(path.c_str(), &file_, &error_), THIRSTLINE_OK);
    }
    void TearDown() override { thirstline_close(file_); }

    thirstline_status fill(const Questions& questions, const AllArrays& arrays, std::int32_t jobs,
                           bool with_elevation = true) {
        return thirstline_sites_in_arrays(file_, questions.lat.data(), questions.lon.data(),
                                          with_elevation ? questions.elevation_m.data() : nullptr,
                                          questions.lat.size(), jobs, &arrays.plain, &error_);
    }

    void expect_months(const std::int32_t* months, const std::int32_t (&site)[kMonthsOfSite],
                       std::size_t index) {
        for (std::size_t m = 0; m < kMonthsOfSite; ++m)
            ASSERT_EQ(months[index * kMonthsOfSite + m], site[m]) << index << " " << m;
    }

    void expect_as_one_by_one(const Questions& questions, const AllArrays& arrays,
                              std::size_t index, bool with_elevation) {
        thirstline_site site{};
        site.struct_size = sizeof site;
        const std::int32_t elevation_m = questions.elevation_m[index];
        const bool has_elevation = with_elevation && elevation_m != THIRSTLINE_UNKNOWN;
        const auto status =
            thirstline_site_at(file_, {questions.lat[index], questions.lon[index]},
                               has_elevation ? &elevation_m : nullptr, &site, &error_);
        const thirstline_site_arrays& plain = arrays.plain;
        ASSERT_EQ(plain.status[index], status);
        const bool found = status == THIRSTLINE_OK;
        ASSERT_EQ(plain.point_lat_e7[index], site.point_lat_e7);
        ASSERT_EQ(plain.point_lon_e7[index], site.point_lon_e7);
        ASSERT_EQ(plain.distance_m[index], found ? site.distance_m : THIRSTLINE_UNKNOWN);
        ASSERT_EQ(plain.shifted_by_cm[index], found ? site.shifted_by_cm : THIRSTLINE_UNKNOWN);
        ASSERT_EQ(plain.data_elevation_fixed[index], site.data_elevation_fixed);
        expect_months(plain.eto_fixed, site.eto_fixed, index);
        expect_months(plain.eto_se_fixed, site.eto_se_fixed, index);
        expect_months(plain.rain_fixed, site.rain_fixed, index);
        expect_months(plain.rain_se_fixed, site.rain_se_fixed, index);
        expect_months(plain.tmax_fixed, site.tmax_fixed, index);
        expect_months(plain.tmin_fixed, site.tmin_fixed, index);
        if (found) expect_months(plain.method_codes, site.method_codes, index);
    }

    thirstline_file* file_ = nullptr;
    thirstline_error error_ = [] {
        thirstline_error error{};
        error.struct_size = sizeof error;
        return error;
    }();
};

INSTANTIATE_TEST_SUITE_P(WithAndWithoutTemperature, ManyInArrays, testing::Bool());

TEST_P(ManyInArrays, AnswersAsOneByOne) {
    const Questions questions = random_questions(3'000);
    for (const bool with_elevation : {true, false}) {
        const AllArrays arrays(questions.lat.size());
        ASSERT_EQ(fill(questions, arrays, 1, with_elevation), THIRSTLINE_OK) << error_.message;
        for (std::size_t i = 0; i < questions.lat.size(); ++i)
            expect_as_one_by_one(questions, arrays, i, with_elevation);
    }
}

TEST_P(ManyInArrays, DoesNotDependOnTheNumberOfThreads) {
    const Questions questions = random_questions(70'000);
    const AllArrays alone(questions.lat.size());
    ASSERT_EQ(fill(questions, alone, 1), THIRSTLINE_OK) << error_.message;
    for (const std::int32_t jobs : {0, 2, 7}) {
        const AllArrays together(questions.lat.size());
        ASSERT_EQ(fill(questions, together, jobs), THIRSTLINE_OK) << error_.message;
        EXPECT_EQ(together.values, alone.values);
    }
    EXPECT_EQ(std::ranges::count(alone.values.front(), kNotWritten), 0);
}

TEST_P(ManyInArrays, WritesOnlyWhatIsWanted) {
    const Questions questions = random_questions(200);
    const AllArrays all(questions.lat.size());
    ASSERT_EQ(fill(questions, all, 1), THIRSTLINE_OK);
    Integers eto(200 * kMonthsOfSite);
    thirstline_site_arrays only_eto{};
    only_eto.struct_size = sizeof only_eto;
    only_eto.eto_fixed = eto.data();
    ASSERT_EQ(thirstline_sites_in_arrays(file_, questions.lat.data(), questions.lon.data(),
                                         questions.elevation_m.data(), 200, 1, &only_eto, &error_),
              THIRSTLINE_OK);
    EXPECT_TRUE(std::equal(eto.begin(), eto.end(), all.plain.eto_fixed));
}

TEST_P(ManyInArrays, RejectsInvalidArguments) {
    const Questions questions = random_questions(10);
    const AllArrays arrays(10);
    const double* lat = questions.lat.data();
    const auto call = [&](const double* lats, const double* lons, std::int32_t jobs,
                          const thirstline_site_arrays* to) {
        return thirstline_sites_in_arrays(file_, lats, lons, nullptr, 10, jobs, to, &error_);
    };
    EXPECT_EQ(call(nullptr, lat, 1, &arrays.plain), THIRSTLINE_USAGE);
    EXPECT_EQ(call(lat, nullptr, 1, &arrays.plain), THIRSTLINE_USAGE);
    EXPECT_EQ(call(lat, lat, 1, nullptr), THIRSTLINE_USAGE);
    EXPECT_EQ(call(lat, lat, 257, &arrays.plain), THIRSTLINE_USAGE);
    thirstline_site_arrays small = arrays.plain;
    small.struct_size = sizeof small - sizeof(void*);
    EXPECT_EQ(call(lat, lat, 1, &small), THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_sites_in_arrays(nullptr, lat, lat, nullptr, 10, 1, &arrays.plain, &error_),
              THIRSTLINE_USAGE);
    EXPECT_EQ(thirstline_sites_in_arrays(file_, nullptr, nullptr, nullptr, 0, 1, nullptr, &error_),
              THIRSTLINE_OK);
}

}  // namespace
}  // namespace thirstline
