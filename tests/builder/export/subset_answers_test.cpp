// A subset answers for every site of its selection as the whole file does, to the last digit: on
// random lattices of all sorts, of one and of two layers, with selections of all sorts.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "schema/database/whole_tables.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;

class SubsetAnswers : public testing::TestWithParam<Sort> {
  protected:
    void write(const test::World& world) const {
        const auto written = test::write_world(world, folder_.path("whole.sqlite"));
        if (!written) throw std::runtime_error(written.error().message);
    }

    /// Exports the selection and compares what sites of it are told.
    void expect_same_answers(const SelectionOptions& selection,
                             const std::vector<LatLonE7>& sites) {
        const std::string whole = folder_.path("whole.sqlite");
        const std::string part = folder_.path("part.sqlite");
        const auto written = test::exported(whole, "sqlite", {part, selection, {}, {}});
        const auto all = test::opened(whole);
        if (!written) {
            ASSERT_EQ(written.error().code, ErrorCode::no_data) << written.error().message;
            for (const LatLonE7 site : sites)
                ASSERT_EQ(test::answer_text(*all, site).find("nothing"), 0U)
                    << "nothing was written";
            ++empty_;
            return;
        }
        ++compared_;
        test::expect_whole(part);
        const auto some = test::opened(part);
        for (const LatLonE7 site : sites) {
            ASSERT_EQ(test::answer_text(*some, site), test::answer_text(*all, site))
                << "at " << site.lat_e7 << " " << site.lon_e7 << " of " << selection.box << " "
                << (selection.region_file.empty() ? ""
                                                  : test::bytes_of_file(selection.region_file));
        }
        const std::string again = folder_.path("again.sqlite");
        ASSERT_TRUE(test::exported(whole, "sqlite", {again, selection, {}, {}}));
        ASSERT_EQ(test::bytes_of_file(again), test::bytes_of_file(part));
        EXPECT_EQ(some->metadata("subset_of"), all->metadata("content_sha256"));
    }

    test::TemporaryFolder folder_;
    int compared_ = 0;
    int empty_ = 0;
};

TEST_P(SubsetAnswers, OfABoxAnswersAsTheWholeDoes) {
    Random random(20'261'125 + static_cast<std::uint32_t>(GetParam()));
    for (int run = 0; run < 60; ++run) {
        SCOPED_TRACE(run);
        test::World world = test::random_world(GetParam(), random);
        // Of an older file, too, which is carried to an elevation in its own way.
        if (run % 2 == 1)
            world.layout.elevation_adjustment = ElevationAdjustment::along_straight_lines;
        write(world);
        const test::Box box = test::random_box(world.lattices.front(), random);
        std::vector<LatLonE7> sites;
        for (int i = 0; i < 150; ++i) sites.push_back(box.random_site(random));
        expect_same_answers({box.text(), "", ""}, sites);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(compared_, 30);
}

TEST_P(SubsetAnswers, OfARegionAnswersAsTheWholeDoes) {
    Random random(77 + static_cast<std::uint32_t>(GetParam()));
    for (int run = 0; run < 40; ++run) {
        SCOPED_TRACE(run);
        const test::World world = test::random_world(GetParam(), random);
        write(world);
        // A triangle; longitudes may go on past 180°.
        const test::Box box = test::random_box(world.lattices.front(), random);
        const auto corner = [&] {
            return std::pair{box.south_west.lat_e7 + random.between(0, box.height_e7),
                             box.south_west.lon_e7 + random.between(0, box.width_e7)};
        };
        const std::array corners{corner(), corner(), corner()};
        std::string ring;
        for (const std::size_t i : {0U, 1U, 2U, 0U}) {
            ring += (ring.empty() ? "[" : ",[") + test::decimal_degrees(corners[i].second) + "," +
                    test::decimal_degrees(corners[i].first) + "]";
        }
        const std::string region = folder_.path("region.geojson");
        test::write_bytes(region,
                          R"({"type":"Feature","properties":{},"geometry":{"type":"Polygon",)"
                          R"("coordinates":[[)" +
                              ring + "]]}}");
        const double area =
            std::abs(static_cast<double>(corners[1].first - corners[0].first) *
                         static_cast<double>(corners[2].second - corners[0].second) -
                     static_cast<double>(corners[2].first - corners[0].first) *
                         static_cast<double>(corners[1].second - corners[0].second));
        if (area < 1e12) continue;
        std::vector<LatLonE7> sites;
        for (int i = 0; i < 150; ++i) {
            // A hair within: the edge itself is where rounding would decide.
            std::array<double, 3> shares{};
            double sum = 0.0;
            for (double& share : shares)
                sum += share = 1.0 + static_cast<double>(random.between(0, 1000));
            double lat = 0.0;
            double lon = 0.0;
            for (std::size_t c = 0; c < 3; ++c) {
                lat += shares[c] / sum * static_cast<double>(corners[c].first);
                lon += shares[c] / sum * static_cast<double>(corners[c].second);
            }
            sites.push_back({static_cast<std::int32_t>(std::lround(lat)),
                             normalised_lon_e7(std::llround(lon))});
        }
        expect_same_answers({"", "", region}, sites);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(compared_, 15);
}

TEST_P(SubsetAnswers, OfPostalCodesAnswersForThemAsTheWholeDoes) {
    Random random(4'711 + static_cast<std::uint32_t>(GetParam()));
    const std::string list = folder_.path("codes.csv");
    test::write_bytes(list, "postal,country\n1001,AA\n1001,AB\n1002,AA\n");
    for (int run = 0; run < 40; ++run) {
        SCOPED_TRACE(run);
        const test::World world = test::random_world(GetParam(), random);
        write(world);
        const auto whole = test::opened(folder_.path("whole.sqlite"));
        auto scan = PostalScan::over(*whole);
        ASSERT_TRUE(scan);
        std::vector<LatLonE7> sites;
        while (true) {
            const auto place = scan->next();
            ASSERT_TRUE(place);
            if (!*place) break;
            sites.push_back((*place)->position);
        }
        ASSERT_EQ(sites.size(), 3U);
        expect_same_answers({"", list, ""}, sites);
        if (HasFatalFailure()) return;
    }
}

TEST(SubsetOfAFullLattice, HoldsTheCornersOfTheBoxsCellsAndNoMore) {
    const test::TemporaryFolder folder;
    Random random(3);
    test::World world;
    world.layout = test::layout_of(8);
    // Points a degree apart, from 10° N 20° E.
    world.lattices = {test::lattice_of(20 * 3600, 10 * 3600, 3600, 30, 30, 8)};
    world.lattices.front().reach_m = 500'000;
    test::fill_lattice(world, world.lattices.front(), random, 100);
    ASSERT_TRUE(test::write_world(world, folder.path("whole.sqlite")));
    const auto points_in = [&](const std::string& box) {
        const std::string part = folder.path("part.sqlite");
        EXPECT_TRUE(
            test::exported(folder.path("whole.sqlite"), "sqlite", {part, {box, "", ""}, {}, {}}));
        return test::opened(part)->metadata("points");
    };
    EXPECT_EQ(points_in("30.5,20.5,33.5,22.5"), "20");  // 5 columns of 4 rows
    EXPECT_EQ(points_in("31,21,33,22"), "6");           // edges on points: 3 columns of 2 rows
    EXPECT_EQ(points_in("31,21,31,21"), "1");
    EXPECT_EQ(points_in("30.25,21,30.75,21"), "2");
    // West of the lattice's edge: the nearest points to a strip of half a degree, by latitude.
    const int beside = std::stoi(points_in("18,20.5,19.5,22.5"));
    EXPECT_GE(beside, 4);
    EXPECT_LE(beside, 24);
}

INSTANTIATE_TEST_SUITE_P(Sorts, SubsetAnswers,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
