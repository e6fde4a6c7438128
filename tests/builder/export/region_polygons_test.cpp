// Regions from untrusted sources: those that would exhaust memory are rejected, small faults are
// repaired.
#include "builder/export/region_polygons.hpp"

#include <gtest/gtest.h>
#include <ogr_geometry.h>

#include <cmath>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "builder/export/ring_crossings.hpp"
#include "builder/grids/grid.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

struct Corner {
    double lon = 0.0;
    double lat = 0.0;
};

std::string geojson(const std::vector<Corner>& ring, const std::string& more = "") {
    std::ostringstream text;
    text.precision(12);
    text << R"({"type":"FeatureCollection",)" << more
         << R"("features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon",)"
         << R"("coordinates":[[)";
    for (const Corner& corner : ring) text << "[" << corner.lon << "," << corner.lat << "],";
    text << "[" << ring.front().lon << "," << ring.front().lat << "]]]}}]}";
    return text.str();
}

/// A ring of `count` corners that goes round its middle `turns` times: every edge crosses about
/// 2 · (turns − 1) others.
std::vector<Corner> star(int count, int turns) {
    std::vector<Corner> ring;
    for (int i = 0; i < count; ++i) {
        const double angle = 2.0 * std::numbers::pi * turns * i / count;
        ring.push_back({10.0 + std::cos(angle), 45.0 + std::sin(angle)});
    }
    return ring;
}

class RegionPolygonsTest : public testing::Test {
  protected:
    void SetUp() override { set_up_gdal(); }
    Result<RegionPolygons> region(const std::string& text) {
        const std::string path = folder_ / "region.geojson";
        test::write_text(path, text);
        return RegionPolygons::read(path);
    }
    void expect_error(const std::string& text, const std::string& says) {
        const auto read = region(text);
        ASSERT_FALSE(read);
        EXPECT_EQ(read.error().code, ErrorCode::bad_input);
        EXPECT_NE(read.error().message.find(says), std::string::npos) << read.error().message;
    }
    TempFolder folder_;
};

TEST_F(RegionPolygonsTest, RepairsAFewCrossings) {
    const auto bow = region(geojson({{10, 45}, {11, 46}, {11, 45}, {10, 46}}));
    ASSERT_TRUE(bow);
    EXPECT_TRUE(bow->holds({455'000'000, 102'000'000}));
    EXPECT_TRUE(bow->holds({455'000'000, 108'000'000}));
    EXPECT_FALSE(bow->holds({452'000'000, 105'000'000}));
    EXPECT_TRUE(region(geojson(star(21, 10))));
}

// Mended, it would have some four million corners, and took gigabytes.
TEST_F(RegionPolygonsTest, RefusesOneThatCrossesItselfTooOften) {
    expect_error(geojson(star(2001, 1000)), "cross too often to be repaired");
}

TEST_F(RegionPolygonsTest, RefusesPolygonsThatCrossOneAnotherTooOften) {
    std::string bars = R"({"type":"MultiPolygon","coordinates":[)";
    std::ostringstream text;
    for (int i = 0; i < 400; ++i) {
        const double at = 0.01 * i;
        text << (i == 0 ? "" : ",") << "[[[" << at << ",0],[" << at + 0.004 << ",0],[" << at + 0.004
             << ",5],[" << at << ",5],[" << at << ",0]]],[[[-1," << at << "],[5," << at << "],[5,"
             << at + 0.004 << "],[-1," << at + 0.004 << "],[-1," << at << "]]]";
    }
    expect_error(bars + text.str() + "]}", "cross too often to be repaired");
}

TEST_F(RegionPolygonsTest, RefusesEdgesThatWouldBeCutIntoTooManyPieces) {
    const std::string utm =
        R"("crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::32632"}},)";
    std::vector<Corner> zigzag;
    for (int i = 0; i < 120; ++i) zigzag.push_back({i % 2 == 0 ? -9e7 : 9e7, 1e5 * i});
    expect_error(geojson(zigzag, utm), "more than ten million corners");
    expect_error(geojson({{500e3, 5e6}, {500e3, 5e9}, {600e3, 5e6}}, utm),
                 "cannot be converted to latitude and longitude");
    EXPECT_TRUE(region(geojson({{500e3, 5e6}, {600e3, 5e6}, {600e3, 5.1e6}}, utm)));
}

TEST(RingCrossings, CountsEachCrossingOnce) {
    OGRPolygon polygon;
    auto* ring = new OGRLinearRing;
    for (const Corner& corner : star(101, 50)) ring->addPoint(corner.lon, corner.lat);
    ring->closeRings();
    polygon.addRingDirectly(ring);
    // Every edge of {101/50} crosses 98 others: all but its two neighbours.
    const std::size_t crossings = 101 * 98 / 2;
    EXPECT_FALSE(has_more_crossings(polygon, crossings));
    EXPECT_TRUE(has_more_crossings(polygon, crossings - 1));
}

}  // namespace
}  // namespace thirstline
