// The ground of the map: what is kept of vector files, where, and how small.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "builder/grids/grid.hpp"
#include "builder/publish/map_ground.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;

/// 100 x 50 cells of 36" from 38 W, 44 N: one degree wide.
constexpr MapGrid kGrid{50, 100, -38 * 3600, 44 * 3600, 36};
constexpr double kMarginLatDeg = 0.15;
constexpr double kMarginLonDeg = 0.6;

struct Corner {
    double lon = 0.0;
    double lat = 0.0;
};

/// As the page reads them.
std::vector<std::vector<Corner>> lines_of(const Json& ground) {
    const double step = ground["step"];
    std::vector<std::vector<Corner>> lines;
    for (const Json& steps : ground["lines"]) {
        lines.emplace_back();
        double x = 0.0;
        double y = 0.0;
        for (std::size_t at = 0; at + 1 < steps.size(); at += 2) {
            x += steps[at].get<double>();
            y += steps[at + 1].get<double>();
            lines.back().push_back({ground["west"].get<double>() + x * step,
                                    ground["south"].get<double>() + y * step});
        }
    }
    return lines;
}

class MapGround : public testing::Test {
  protected:
    static void SetUpTestSuite() { set_up_gdal(); }
    /// A GeoJSON file of these features.
    std::string file(const std::string& features, const std::string& name = "ground.geojson") {
        test::write_text(folder_ / name,
                         R"({"type": "FeatureCollection", "features": [)" + features + "]}");
        return folder_ / name;
    }
    static std::string feature(const std::string& geometry, const std::string& name = "") {
        return R"({"type": "Feature", "properties": {"Name": ")" + name + R"("}, "geometry": )" +
               geometry + "}";
    }
    static std::string line(const std::string& corners) {
        return R"({"type": "LineString", "coordinates": )" + corners + "}";
    }
    static std::string point(const std::string& corner) {
        return R"({"type": "Point", "coordinates": )" + corner + "}";
    }

    TempFolder folder_;
};

TEST_F(MapGround, CutsLinesAtTheSurroundingsOfTheData) {
    const auto text =
        ground_json({file(feature(line("[[-50, 44.25], [-37.5, 44.25], [-37.5, 60]]")))}, kGrid);
    ASSERT_TRUE(text) << text.error().message;
    const auto lines = lines_of(Json::parse(*text));
    ASSERT_EQ(lines.size(), 1U);
    ASSERT_EQ(lines[0].size(), 3U);
    EXPECT_NEAR(lines[0][0].lon, -38.0 - kMarginLonDeg, 1e-4);
    EXPECT_NEAR(lines[0][0].lat, 44.25, 1e-4);
    EXPECT_NEAR(lines[0][1].lon, -37.5, 1e-4);
    EXPECT_NEAR(lines[0][2].lat, 44.5 + kMarginLatDeg, 1e-4);
}

TEST_F(MapGround, TakesOutlinesOfAreasButNotTheEdgesOfTheMap) {
    const auto text = ground_json(
        {file(feature(R"({"type": "Polygon", "coordinates": [[[-37.5, 40], [-30, 40], [-30, 50],
                         [-37.5, 50], [-37.5, 40]]]})"))},
        kGrid);
    ASSERT_TRUE(text) << text.error().message;
    for (const auto& line : lines_of(Json::parse(*text)))
        for (const Corner& corner : line) EXPECT_NEAR(corner.lon, -37.5, 1e-4);
}

TEST_F(MapGround, KeepsNamedPlacesInTheArea) {
    const auto text = ground_json(
        {file(feature(point("[-37.532, 44.3]"), "Ostrey Bridge") + "," +
              feature(point("[-37.6, 44.3]")) + "," + feature(point("[-30, 44.3]"), "Elsewhere"))},
        kGrid);
    ASSERT_TRUE(text) << text.error().message;
    const Json ground = Json::parse(*text);
    ASSERT_EQ(ground["places"].size(), 1U);
    EXPECT_EQ(ground["places"][0][2], "Ostrey Bridge");
    EXPECT_NEAR(ground["west"].get<double>() +
                    ground["places"][0][0].get<double>() * ground["step"].get<double>(),
                -37.532, 1e-4);
}

TEST_F(MapGround, ContinuesPastTheAntimeridian) {
    const MapGrid crossing{50, 100, 1795 * 360, 44 * 3600, 36};
    const auto text = ground_json({file(feature(line("[[179.6, 44.2], [180, 44.2]]")) + "," +
                                        feature(line("[[-180, 44.2], [-179.7, 44.2]]")))},
                                  crossing);
    ASSERT_TRUE(text) << text.error().message;
    const auto lines = lines_of(Json::parse(*text));
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_NEAR(lines[0][0].lon, 179.6, 1e-4);
    EXPECT_NEAR(lines[1][1].lon, 180.3, 1e-4);
}

TEST_F(MapGround, IsSimplifiedToTheMaximumSize) {
    // A coast that turns at each of 60,000 corners.
    std::string corners;
    for (int i = 0; i < 60'000; ++i) {
        char corner[64];
        std::snprintf(corner, sizeof corner, "%s[%.6f, %.6f]", i == 0 ? "" : ", ",
                      -38.0 + i / 60'000.0, 44.25 + 0.1 * std::sin(i * i * 0.37));
        corners += corner;
    }
    const auto text = ground_json({file(feature(line("[" + corners + "]")))}, kGrid);
    ASSERT_TRUE(text) << text.error().message;
    test::write_text(folder_ / "ground.json", *text);
    const auto size_text = test::output_of("gzip -c '" + (folder_ / "ground.json") + "' | wc -c");
    ASSERT_TRUE(size_text);
    const auto size = static_cast<std::size_t>(std::stoul(*size_text));
    EXPECT_LE(size, kMaxGroundBytes * 101 / 100);
    EXPECT_GT(size, kMaxGroundBytes / 3);
}

TEST_F(MapGround, RejectsFilesWithNothingThere) {
    auto text = ground_json({file(feature(line("[[10, 44], [11, 44]]")))}, kGrid);
    ASSERT_FALSE(text);
    EXPECT_EQ(text.error().code, ErrorCode::bad_input);
    EXPECT_NE(text.error().message.find("no line and no named point"), std::string::npos);
    text = ground_json({folder_ / "none.geojson"}, kGrid);
    ASSERT_FALSE(text);
    EXPECT_EQ(text.error().code, ErrorCode::io);
    test::write_text(folder_ / "words.txt", "coast");
    text = ground_json({folder_ / "words.txt"}, kGrid);
    ASSERT_FALSE(text);
    EXPECT_EQ(text.error().code, ErrorCode::bad_input);
}

}  // namespace
}  // namespace thirstline
