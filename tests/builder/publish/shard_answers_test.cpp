// The image of a site's square answers as the database does, to the last digit: on random lattices
// of all sorts, read with the firmware's reader.
#include <gtest/gtest.h>

#include <array>

#include "builder/publish/area_squares.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/published_sites.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;

class ShardAnswers : public testing::TestWithParam<Sort> {
  protected:
    void expect_same_answer(Database& database, test::PublishedSite& site, LatLonE7 position) {
        const auto answer = database.answer(position);
        ASSERT_TRUE(answer) << answer.error().message;
        const auto name = site.area_of(position);
        if (!name) {
            ASSERT_FALSE(answer->found) << "there is no area for it";
            ++misses_;
            return;
        }
        for (const std::uint32_t part : {0U, 1U, 2U, 3U}) {
            told_in_c told{};
            const int status =
                site.image(*name).look_up(test::kImageReaders[0], position, part, told);
            if (!answer->found) {
                ASSERT_EQ(status, THIRSTLINE_IMAGE_NO_DATA);
                continue;
            }
            ASSERT_EQ(status, THIRSTLINE_IMAGE_OK) << "part " << part;
            ASSERT_EQ(told.is_interpolated != 0, answer->interpolated);
            ASSERT_EQ((LatLonE7{told.lat_e7, told.lon_e7}), answer->at);
            ASSERT_EQ(told.distance_m, answer->distance_m);
            ASSERT_GE(told.layers, 1U);
            for (std::uint32_t layer = 0; layer < told.layers; ++layer) {
                const auto& expected = answer->of(static_cast<LayerId>(told.ids[layer]));
                for (std::size_t month = 0; month < kMonths; ++month) {
                    const std::int32_t value = told.values[layer][month];
                    ASSERT_EQ(value, expected[month]) << "layer " << int{told.ids[layer]};
                }
            }
        }
        if (answer->found) ++found_;
    }

    test::TemporaryFolder folder_;
    int found_ = 0;
    int misses_ = 0;
    std::size_t areas_ = 0;
};

TEST_P(ShardAnswers, AreTheDatabases) {
    Random random(static_cast<std::uint32_t>(GetParam()) + 910);
    const std::string file = folder_.path("world.sqlite");
    for (int n = 0; n < 10; ++n) {
        SCOPED_TRACE(n);
        const test::World world = test::random_world(GetParam(), random);
        ASSERT_TRUE(test::write_world(world, file));
        const std::string folder = folder_.path("site-" + std::to_string(n));
        const auto outcome = test::published(file, {folder, false, {}, {}, {}});
        if (!outcome) {
            ASSERT_EQ(outcome.error().code, ErrorCode::no_data) << outcome.error().message;
            continue;
        }
        const auto database = test::opened(file);
        test::PublishedSite site(folder);
        areas_ += site.baseline()["areas"]["files"].size();
        const std::int32_t edge = site.baseline()["areas"]["edge_arcsec"].get<std::int32_t>();
        std::vector<LatLonE7> positions;
        for (const Lattice& lattice : world.lattices) {
            for (const LatLonE7 position : test::positions_about(lattice, random, 150)) {
                positions.push_back(position);
                // The edge of its square, which two squares share.
                const LatLonBox square = box_of_square(square_of(position, edge), edge);
                positions.push_back({static_cast<std::int32_t>(square.south / kUnitsPerE7),
                                     normalised_lon_e7(square.west / kUnitsPerE7)});
            }
        }
        for (const LatLonE7 position : positions) {
            SCOPED_TRACE(std::to_string(position.lat_e7) + " " + std::to_string(position.lon_e7));
            expect_same_answer(*database, site, position);
            if (HasFatalFailure()) return;
        }
    }
    EXPECT_GT(found_, 500);
    EXPECT_GT(areas_, 20U);
}

INSTANTIATE_TEST_SUITE_P(Worlds, ShardAnswers,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

TEST(AreaSquares, CountFromTheSouthPoleAndTheAntimeridian) {
    // By hand: 44.5 N is 134.5 degrees from 90 S, 123.1 W is 56.9 from 180 W.
    EXPECT_EQ(square_of({445'000'000, -1'231'000'000}, 3600), (AreaSquare{134, 56}));
    EXPECT_EQ(square_of({445'000'000, -1'231'000'000}, 9000), (AreaSquare{53, 22}));
    EXPECT_EQ(square_of({-900'000'000, -1'800'000'000}, 9000), (AreaSquare{0, 0}));
    EXPECT_EQ(square_of({900'000'000, 1'799'999'999}, 9000), (AreaSquare{72, 143}));
    // The last square of an edge that does not divide the circle ends at the antimeridian.
    EXPECT_EQ(box_of_square({0, 9}, 118'800).width, 118'800 * kUnitsPerArcsec);
    EXPECT_EQ(box_of_square({0, 10}, 118'800).width, 108'000 * kUnitsPerArcsec);
}

/// Degrees of west, south, east and north of a box around boxes given in whole degrees as south,
/// north, west, width.
std::vector<double> degrees_around(const std::vector<std::array<int, 4>>& boxes) {
    constexpr std::int64_t kDegree = 3600 * kUnitsPerArcsec;
    std::vector<SurveyedTile> tiles;
    for (const auto& [south, north, west, width] : boxes)
        tiles.push_back(
            {0, {}, {south * kDegree, north * kDegree, west * kDegree, width * kDegree}, 1});
    const LatLonBox box = box_around(tiles);
    const auto degrees = [](std::int64_t units) { return static_cast<double>(units) / kDegree; };
    return {degrees(box.west), degrees(box.south), degrees(box.west + box.width),
            degrees(box.north)};
}

TEST(PointSurvey, BoxesCrossTheAntimeridianOnlyWhereThatHalvesThem) {
    using Degrees = std::vector<double>;
    EXPECT_EQ(degrees_around({{40, 41, -120, 5}, {30, 35, -80, 10}}), (Degrees{-120, 30, -70, 41}));
    // Islands to both sides of it.
    EXPECT_EQ(degrees_around({{-19, -16, 177, 2}, {-18, -15, -180, 1}, {-17, -16, -179, 1}}),
              (Degrees{177, -19, 182, -15}));
    // Land all around.
    EXPECT_EQ(degrees_around({{0, 1, 100, 60}, {0, 2, -170, 60}, {0, 1, -60, 90}}),
              (Degrees{-170, 0, 160, 2}));
    EXPECT_EQ(degrees_around({{0, 1, -180, 300}, {0, 1, 170, 30}}), (Degrees{-180, 0, 180, 1}));
    EXPECT_EQ(degrees_around({{0, 1, 179, 4}}), (Degrees{179, 0, 183, 1}));
}

}  // namespace
}  // namespace thirstline
