// An image answers like the database that it was made from, to the last digit: on random lattices
// of all sorts, whole and in part, in every way of reading it.
#include <gtest/gtest.h>

#include "tests/support/export_runs.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::Image;
using test::ImageReader;
using test::kImageReaders;
using test::Random;
using test::Sort;

const std::vector<std::string> kEverything{"eto",  "rain", "eto_se",   "rain_se",
                                           "tmax", "tmin", "elevation"};

/// What the reader says must be what the database says: the values of every layer of every part.
void expect_same_answer(Database& database, Image& image, const ImageReader& reader, LatLonE7 site,
                        std::optional<std::int32_t> elevation_m = {}) {
    const auto answer = database.answer(site, elevation_m);
    ASSERT_TRUE(answer) << answer.error().message;
    for (const std::uint32_t part : {0U, 1U, 2U, 3U}) {
        told_in_c told{};
        const int status = image.look_up(reader, site, part, told, elevation_m);
        ASSERT_FALSE(image.traffic().strayed);
        if (!answer->found) {
            ASSERT_EQ(status, THIRSTLINE_IMAGE_NO_DATA);
            continue;
        }
        if (elevation_m && answer->exceeds_max_adjustment && part != 3) {
            ASSERT_EQ(status, THIRSTLINE_IMAGE_BAD_ARGUMENT) << "part " << part;
            continue;
        }
        ASSERT_EQ(status, THIRSTLINE_IMAGE_OK) << "part " << part;
        ASSERT_EQ(told.is_interpolated != 0, answer->interpolated);
        ASSERT_EQ((LatLonE7{told.lat_e7, told.lon_e7}), answer->at);
        ASSERT_EQ(told.distance_m, answer->distance_m);
        ASSERT_EQ(told.layers, part == 3 ? 1U : 2U);
        for (std::uint32_t layer = 0; layer < told.layers; ++layer) {
            const auto& expected = answer->of(static_cast<LayerId>(told.ids[layer]));
            for (std::size_t month = 0; month < kMonths; ++month) {
                const std::int32_t value = told.values[layer][month];
                ASSERT_EQ(value, expected[month])
                    << "layer " << int{told.ids[layer]} << " month " << month + 1;
            }
        }
    }
}

class ImageAnswers : public testing::TestWithParam<Sort> {
  protected:
    /// Exports the selection and compares what sites of it are told.
    void expect_same_answers(const SelectionOptions& selection,
                             const std::vector<LatLonE7>& sites) {
        const auto database = test::opened(whole_);
        // Every other one in pages.
        const int page_bytes = compared_ % 2 == 0 ? 0 : 64;
        const auto written = test::exported(
            whole_, "image", {image_, selection, kEverything, {}, page_bytes, with_gradients_});
        if (!written) {
            ASSERT_EQ(written.error().code, ErrorCode::no_data) << written.error().message;
            return;
        }
        ++compared_;
        Image image = Image::of_file(image_);
        for (const LatLonE7 site : sites) {
            for (const ImageReader& reader : kImageReaders) {
                SCOPED_TRACE(std::string(reader.name) + " at " + std::to_string(site.lat_e7) + " " +
                             std::to_string(site.lon_e7) + " of " + selection.box);
                expect_same_answer(*database, image, reader, site);
                if (with_gradients_)
                    expect_same_answer(*database, image, reader, site, elevation_m());
                if (testing::Test::HasFatalFailure()) return;
            }
        }
    }

    /// Anywhere, and often near the points, most of which are anywhere, too.
    std::int32_t elevation_m() {
        return static_cast<std::int32_t>(heights_.chance(20) ? heights_.between(-1000, 10'000)
                                                             : heights_.between(-1000, 2500));
    }

    Random heights_{43};
    bool with_gradients_ = false;
    test::TemporaryFolder folder_;
    std::string whole_ = folder_.path("whole.sqlite");
    std::string image_ = folder_.path("whole.img");
    int compared_ = 0;
};

TEST_P(ImageAnswers, AreTheDatabases) {
    Random random(static_cast<std::uint32_t>(GetParam()) + 500);
    for (int n = 0; n < 40; ++n) {
        SCOPED_TRACE(n);
        with_gradients_ = n % 2 == 0;
        const test::World world = test::random_world(GetParam(), random);
        ASSERT_TRUE(test::write_world(world, whole_));
        std::vector<LatLonE7> sites;
        for (const Lattice& lattice : world.lattices) {
            const auto about = test::positions_about(lattice, random, 60);
            sites.insert(sites.end(), about.begin(), about.end());
        }
        expect_same_answers({}, sites);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(compared_, 35);
}

TEST_P(ImageAnswers, OfABoxAreTheDatabasesWithinIt) {
    Random random(static_cast<std::uint32_t>(GetParam()) + 600);
    for (int n = 0; n < 60; ++n) {
        SCOPED_TRACE(n);
        with_gradients_ = n % 3 == 0;
        const test::World world = test::random_world(GetParam(), random);
        ASSERT_TRUE(test::write_world(world, whole_));
        const test::Box box = test::random_box(world.lattices.front(), random);
        std::vector<LatLonE7> sites;
        for (int i = 0; i < 80; ++i) sites.push_back(box.random_site(random));
        expect_same_answers({box.text(), "", ""}, sites);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(compared_, 30);
}

INSTANTIATE_TEST_SUITE_P(Worlds, ImageAnswers,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
