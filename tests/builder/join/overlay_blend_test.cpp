// Finer lattices over coarser ones, joined: no answer jumps at a border, and nothing changes
// elsewhere.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>

#include "builder/join/join.hpp"
#include "builder/join/overlay_blend.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::World;

constexpr double kKmPerDegree = 111.195;
constexpr std::size_t kJuly = 6;
/// Values are in hundredths of the stored unit.
constexpr double kCoarseEto = 500.0 * kAnswerScale;
constexpr double kFineEto = 650.0 * kAnswerScale;

/// ETo in hundredths of mm/day at a place; nothing: no data.
using EtoAt = std::function<std::optional<std::int32_t>(LatLon)>;

EtoAt everywhere(std::int32_t eto) {
    return [eto](LatLon) { return std::optional(eto); };
}

/// A lattice of its own over a box in degrees.
World world_of(double west, double south, double east, double north, std::int32_t spacing,
               const EtoAt& eto_at) {
    using enum LayerId;
    World world{test::layout_of(8, {eto, rain, eto_se, elevation}), {}, {}};
    const auto arcsec = [](double degrees) {
        return static_cast<std::int32_t>(std::lround(degrees * kArcsecPerDegree));
    };
    Lattice lattice =
        *lattice_over_box(arcsec(west), arcsec(south), arcsec(east), arcsec(north), spacing);
    lattice.name = std::to_string(spacing);
    lattice.tile_edge = 8;
    lattice.reach_m = 1000;
    world.lattices = {lattice};
    for (int row = 0; row < lattice.rows; ++row) {
        for (int column = 0; column < lattice.columns; ++column) {
            const LatticePoint point{row, column};
            const auto value = eto_at(position_of(lattice, point));
            if (!value) continue;
            Tile& tile = world.made_tile(lattice, point);
            const auto slot = static_cast<std::size_t>(slot_in_tile(lattice, point));
            tile.present[slot] = 1;
            tile.of(elevation)[slot] = *value;
            for (std::size_t month = 0; month < kMonths; ++month) {
                tile.of(eto)[slot * kMonths + month] = *value;
                tile.of(rain)[slot * kMonths + month] = *value / 10;
                tile.of(eto_se)[slot * kMonths + month] = *value / 20;
            }
        }
    }
    return world;
}

class OverlayBlendOfWorlds : public testing::Test {
  protected:
    /// The joined file, opened.
    std::unique_ptr<Database> joined(const std::vector<World>& worlds, int blend_km) {
        std::vector<std::string> paths;
        for (const World& world : worlds) {
            paths.push_back(folder_.path(std::to_string(paths.size()) + ".sqlite"));
            EXPECT_TRUE(test::write_world(world, paths.back()));
        }
        static const std::atomic<bool> never{false};
        const auto done = run_join(paths, path(), {.overwrite = true, .blend_km = blend_km}, never);
        EXPECT_TRUE(done) << done.error().message;
        test::expect_whole(path());
        return test::opened(path());
    }
    std::string path() const { return folder_.path("joined.sqlite"); }

    /// NaN without an answer.
    static double eto_at(Database& database, LatLon place) {
        const auto answer = database.answer(to_e7(place));
        if (!answer || !answer->found) return std::nan("");
        return answer->of(LayerId::eto)[kJuly];
    }

    /// The greatest change of ETo from each place to the next, `step_km` north or east, over a box.
    struct Steps {
        double greatest = 0.0;
        int count = 0;
    };
    static Steps steps_over(Database& database, double west, double south, double east,
                            double north, double step_km) {
        Steps steps;
        const double lat_step = step_km / kKmPerDegree;
        const double lon_step = lat_step / std::cos((south + north) / 2 * std::numbers::pi / 180);
        for (int line = 0; line < 5; ++line) {
            const double share = 0.03 + 0.235 * line;
            double before = std::nan("");
            for (double lat = south; lat <= north; lat += lat_step)
                add(steps, before, eto_at(database, {lat, west + share * (east - west)}));
            before = std::nan("");
            for (double lon = west; lon <= east; lon += lon_step)
                add(steps, before, eto_at(database, {south + share * (north - south), lon}));
        }
        return steps;
    }
    static void add(Steps& steps, double& before, double now) {
        if (!std::isnan(now - before)) {
            steps.greatest = std::max(steps.greatest, std::abs(now - before));
            ++steps.count;
        }
        before = now;
    }
    /// What a blend of that width allows in `step_km` on a lattice of that spacing: its own slope,
    /// and the rounding of two points to whole units.
    static double allowed(double difference, double width_km, double step_km, int spacing_arcsec) {
        const double spacing_km = spacing_arcsec * kKmPerDegree / kArcsecPerDegree * 0.7;
        const double longest_step_km = 1.03 * step_km;  // east, in the south of the box
        return (difference / width_km + kAnswerScale / spacing_km) * longest_step_km + 1.0;
    }

    test::TemporaryFolder folder_;
};

TEST_F(OverlayBlendOfWorlds, LimitsTheStepsAtEverySideOfABox) {
    const std::vector<World> worlds{world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                    world_of(-38.7, 43.4, -37.1, 44.9, 150, everywhere(650))};
    // Without a blend, all of the difference is at one line.
    auto database = joined(worlds, 0);
    const double difference = kFineEto - kCoarseEto;
    EXPECT_EQ(steps_over(*database, -39.2, 42.9, -36.6, 45.4, 0.5).greatest, difference);
    for (const int width_km : {10, 30, 45}) {
        SCOPED_TRACE(width_km);
        database = joined(worlds, width_km);
        const auto steps = steps_over(*database, -39.2, 42.9, -36.6, 45.4, 0.5);
        EXPECT_GT(steps.count, 3'000);
        EXPECT_LE(steps.greatest, allowed(difference, width_km, 0.5, 150));
        EXPECT_GT(steps.greatest, 0.5 * difference * 0.5 / width_km);
        // All of the finer one in the middle, all of the coarser one outside and at the border.
        EXPECT_EQ(eto_at(*database, {44.15, -37.9}), kFineEto);
        EXPECT_EQ(eto_at(*database, {44.15, -38.75}), kCoarseEto);
        EXPECT_EQ(eto_at(*database, {44.15, -38.7}), kCoarseEto);
        EXPECT_EQ(eto_at(*database, {44.9, -37.9}), kCoarseEto);
        EXPECT_EQ(database->metadata("overlay_blend_km"), std::to_string(width_km));
    }
}

TEST_F(OverlayBlendOfWorlds, BlendsElevationAndRoundsErrorsUp) {
    const auto database = joined({world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                  world_of(-38.7, 43.4, -37.1, 44.9, 150, everywhere(650))},
                                 30);
    int blended = 0;
    const Lattice& fine = database->lattices()[1];
    for (int row = 0; row < fine.rows; ++row) {
        const auto answer = database->answer(position_e7_of(fine, {row, 19}));
        ASSERT_TRUE(answer);
        const double eto = answer->of(LayerId::eto)[kJuly] / 100.0;
        EXPECT_EQ(answer->of(LayerId::elevation)[0], answer->of(LayerId::eto)[kJuly]);
        // Errors of 25 and 32: their weighted mean with the weights of ETo, rounded up.
        const double own_share = (eto - 500.0) / 150.0;
        const double mean = 25.0 + 7.0 * own_share;
        const double error = answer->of(LayerId::eto_se)[kJuly] / 100.0;
        EXPECT_GE(error, mean - 7.0 * 0.5 / 150.0);
        EXPECT_LT(error, mean + 1.0 + 7.0 * 0.5 / 150.0);
        if (eto > 500.0 && eto < 650.0) ++blended;
    }
    EXPECT_GT(blended, 8);
}

TEST_F(OverlayBlendOfWorlds, WorksAcrossTheAntimeridianOverAWholeCircle) {
    const auto database = joined({world_of(-180, 40, 180, 50, 3600, everywhere(500)),
                                  world_of(179.0, 43.0, 181.2, 45.0, 150, everywhere(650))},
                                 30);
    double before = eto_at(*database, {44.0, 178.5});
    double greatest = 0.0;
    for (double lon = 178.5; lon < 181.8; lon += 0.005) {
        const double eto = eto_at(*database, {44.0, lon < 180.0 ? lon : lon - 360.0});
        greatest = std::max(greatest, std::abs(eto - before));
        before = eto;
    }
    EXPECT_LE(greatest, allowed(kFineEto - kCoarseEto, 30, 0.4, 150));
    EXPECT_EQ(eto_at(*database, {44.0, 180.0 - 1e-6}), kFineEto);
    EXPECT_EQ(eto_at(*database, {44.0, -180.0}), kFineEto);
    EXPECT_EQ(eto_at(*database, {44.0, -178.8}), kCoarseEto);
    EXPECT_EQ(eto_at(*database, {44.0, 179.0}), kCoarseEto);
}

TEST_F(OverlayBlendOfWorlds, KeepsACoastAsItIs) {
    // Both have the sea west of 38 W; the finer one's box ends in the sea there.
    const auto land = [](std::int32_t eto) {
        return [eto](LatLon at) { return at.lon_deg < -38.0 ? std::nullopt : std::optional(eto); };
    };
    const auto database = joined({world_of(-40, 42, -36, 46, 900, land(500)),
                                  world_of(-38.7, 43.4, -37.1, 44.9, 150, land(650))},
                                 30);
    EXPECT_EQ(eto_at(*database, {44.15, -38.0}), kFineEto);
    EXPECT_EQ(eto_at(*database, {44.15, -37.9}), kFineEto);
    EXPECT_EQ(eto_at(*database, {44.9, -38.0}), kCoarseEto);  // the north of the box, on land
    EXPECT_EQ(eto_at(*database, {44.15, -37.1}), kCoarseEto);
}

TEST_F(OverlayBlendOfWorlds, FollowsTheBorderOfARegionWithinItsBox) {
    // The finer one is of a district south of a slanting line, its box wider.
    const auto district = [](LatLon at) {
        return at.lat_deg + 0.4 * (at.lon_deg + 38.0) > 44.2 ? std::nullopt
                                                             : std::optional<std::int32_t>(650);
    };
    const auto database = joined({world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                  world_of(-38.7, 43.0, -37.1, 44.9, 150, district)},
                                 30);
    const auto steps = steps_over(*database, -39.2, 42.9, -36.6, 45.4, 0.5);
    EXPECT_LE(steps.greatest, allowed(kFineEto - kCoarseEto, 30, 0.5, 150));
    EXPECT_EQ(eto_at(*database, {43.5, -38.0}), kFineEto);
    EXPECT_LT(eto_at(*database, {44.15, -38.0}), kCoarseEto + 2'500);
}

TEST_F(OverlayBlendOfWorlds, FitsIntoANarrowOverlap) {
    // The coarser one ends 0.15 degrees (16.7 km) north of the finer one's southern border.
    const auto database = joined({world_of(-40, 42, -36, 43.5, 900, everywhere(500)),
                                  world_of(-38.7, 43.35, -37.1, 44.9, 150, everywhere(650))},
                                 30);
    const auto steps = steps_over(*database, -38.2, 43.0, -37.6, 44.5, 0.5);
    EXPECT_LE(steps.greatest, allowed(kFineEto - kCoarseEto, 16.7 - 6.0, 0.5, 150));
    EXPECT_EQ(eto_at(*database, {43.34, -37.9}), kCoarseEto);
    EXPECT_EQ(eto_at(*database, {43.52, -37.9}), kFineEto);
}

TEST_F(OverlayBlendOfWorlds, BlendsEachOfThreeIntoWhatIsBelow) {
    // The finest one crosses the border of the middle one.
    const auto database = joined({world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                  world_of(-38.7, 43.2, -37.1, 44.9, 300, everywhere(650)),
                                  world_of(-38.2, 42.8, -37.5, 44.0, 150, everywhere(560))},
                                 20);
    const auto steps = steps_over(*database, -39.0, 42.4, -36.8, 45.3, 0.5);
    EXPECT_GT(steps.count, 3'000);
    // Both slopes at once where the borders cross.
    EXPECT_LE(steps.greatest, 2 * allowed(kFineEto - kCoarseEto, 20, 0.5, 150));
    EXPECT_EQ(eto_at(*database, {43.4, -37.85}), 56'000);
    EXPECT_EQ(eto_at(*database, {44.45, -37.9}), kFineEto);
}

TEST_F(OverlayBlendOfWorlds, KeepsWhatABaselineHasBlendedBefore) {
    const std::vector<World> worlds{world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                    world_of(-38.7, 43.4, -37.1, 44.9, 150, everywhere(650))};
    const auto both = joined(worlds, 30);
    const std::string first = folder_.path("first.sqlite");
    std::filesystem::copy(path(), first);
    ASSERT_TRUE(test::write_world(world_of(-44, 30, -32, 50, 1800, everywhere(400)),
                                  folder_.path("wide.sqlite")));
    static const std::atomic<bool> never{false};
    ASSERT_TRUE(run_join({first, folder_.path("wide.sqlite")}, path(),
                         {.overwrite = true, .blend_km = 30}, never));
    const auto wider = test::opened(path());
    for (double lon = -38.7; lon < -37.1; lon += 0.01)
        EXPECT_EQ(eto_at(*wider, {44.15, lon}), eto_at(*both, {44.15, lon})) << lon;
    EXPECT_EQ(eto_at(*wider, {44.15, -40.0}), 40'000);
    EXPECT_EQ(eto_at(*wider, {44.15, -39.2}), kCoarseEto);
}

TEST_F(OverlayBlendOfWorlds, AnswersInTheImageAsInTheFile) {
    const auto database = joined({world_of(-40, 42, -36, 46, 900, everywhere(500)),
                                  world_of(-38.7, 43.4, -37.1, 44.9, 150, everywhere(650))},
                                 30);
    ExportOptions options;
    options.output = folder_.path("joined.img");
    ASSERT_TRUE(test::exported(path(), "image", options));
    auto image = test::Image::of_file(options.output);
    test::Random random(1'204);
    for (int n = 0; n < 2'000; ++n) {
        const LatLonE7 site{static_cast<std::int32_t>(random.between(432'000'000, 450'000'000)),
                            static_cast<std::int32_t>(random.between(-389'000'000, -369'000'000))};
        const auto answer = database->answer(site);
        ASSERT_TRUE(answer && answer->found);
        told_in_c told{};
        ASSERT_EQ(image.look_up(test::kImageReaders[0], site, 0, told), THIRSTLINE_IMAGE_OK);
        for (std::uint32_t layer = 0; layer < told.layers; ++layer) {
            const auto& values = answer->of(static_cast<LayerId>(told.ids[layer]));
            for (std::size_t month = 0; month < kMonths; ++month)
                ASSERT_EQ(told.values[layer][month], values[month]);
        }
    }
}

TEST(BlendPoint, WeighsValuesAndTakesTheLessTrustedMethod) {
    using enum LayerId;
    const TileLayout layout =
        test::layout_of(8, {eto, rain, eto_se, rain_se, tmax, method, period, elevation});
    Tile tile = Tile::empty(layout);
    tile.present[3] = 1;
    const auto set = [&](LayerId id, std::int32_t value) {
        const bool is_monthly = layout.find(id)->shape == LayerShape::point_month;
        for (std::size_t month = 0; month < (is_monthly ? kMonths : 1); ++month)
            tile.of(id)[3 * (is_monthly ? kMonths : 1) + month] = value;
    };
    set(eto, 400);
    set(rain, 50);
    set(eto_se, 20);
    set(rain_se, 10);
    set(tmax, -35);
    set(method, 1024);
    set(period, 1);
    set(elevation, 101);
    Answer below;
    for (auto& months : below.values) months.fill(kMissingValue);
    below.of(eto).fill(30'050);
    below.of(rain).fill(7'000);
    below.of(eto_se).fill(3'000);
    below.of(elevation)[0] = 20'100;
    below.method.fill(2048);
    below.period = 2;
    Tile blended = tile;
    blend_point(blended, 3, below, 1, 4, layout);
    EXPECT_EQ(blended.month_value(eto, 3, 0), 325);    // 100 + 225.375
    EXPECT_EQ(blended.month_value(rain, 3, 0), 65);    // 12.5 + 52.5
    EXPECT_EQ(blended.month_value(eto_se, 3, 0), 28);  // 5 + 22.5, rounded up
    EXPECT_EQ(blended.month_value(tmax, 3, 0), -35);   // unknown below
    EXPECT_EQ(blended.month_value(method, 3, 0), 2048);
    EXPECT_EQ(blended.of(elevation)[3], 176);
    EXPECT_EQ(blended.of(period)[3], 2);
    // The error of a mean with a value of unknown error is unknown.
    EXPECT_EQ(blended.month_value(rain_se, 3, 0), kMissingValue);
    blended = tile;
    blend_point(blended, 3, below, 3, 4, layout);
    EXPECT_EQ(blended.month_value(eto, 3, 0), 375);
    EXPECT_EQ(blended.of(period)[3], 1);
    blended = tile;
    blend_point(blended, 3, below, 0, 4, layout);
    EXPECT_EQ(blended.month_value(eto, 3, 0), 301);  // 300.5, half away from zero
}

}  // namespace
}  // namespace thirstline
