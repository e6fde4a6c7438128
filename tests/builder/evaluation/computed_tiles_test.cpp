// Tiles computed in memory answer as the file of a build does.
#include "builder/evaluation/computed_tiles.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/fusion/fused_stations.hpp"
#include "builder/pipeline/block_tiles.hpp"
#include "builder/pipeline/gradient_squares.hpp"
#include "tests/support/station_region.hpp"

namespace thirstline {
namespace {

/// A region where everything depends on the place, so that a wrong slot shows.
double uneven(Variable variable, int station, LatLon at, int month) {
    const double value = test::plain_station(variable, station, at, month);
    if (variable == Variable::tmax) return value + 1.5 * std::sin(station) + 0.1 * month;
    if (variable == Variable::tmin) return value + 1.5 * std::cos(station);
    if (variable == Variable::rain) return value * (1.2 + 0.3 * std::sin(2.0 * station));
    return value;
}

class ComputedTilesOfARegion : public testing::Test {
  protected:
    ComputedTilesOfARegion() {
        region_.set_elevation(north_up(0.0, 60.0, 0.5, 60, 60), [](LatLon at, int) {
            return 300.0 + 250.0 * std::sin(3.0 * at.lat_deg) * std::cos(2.0 * at.lon_deg);
        });
        test::write_station_region(region_, uneven);
        region_.build("out.sqlite");
        recipe_ = region_.recipe();
        sources_ = std::move(*open_source_grids(recipe_));
        survey_.emplace(std::move(*Survey::make(recipe_, sources_)));
        stations_.emplace(std::move(*fused_stations(recipe_, sources_, *survey_)));
        recipe_.lattice = lattice_of_gradient_squares(recipe_.lattice);
        layout_ = layout_of(recipe_);
    }

    TileBackgrounds all_backgrounds() {
        std::set<std::int64_t> keys;
        const TileAddress first = first_tile(recipe_.lattice);
        const TileAddress last = last_tile(recipe_.lattice);
        for (int row = first.tile_row; row <= last.tile_row; ++row) {
            for (int column = first.tile_column; column <= last.tile_column; ++column)
                keys.insert(tile_key(recipe_.lattice.id, {row, column}));
        }
        const Fusion none({}, drivers_of_grids(recipe_), recipe_.reference, 50.0, {});
        auto places = tile_places(recipe_.lattice, sources_, *survey_, keys);
        TileBackgrounds backgrounds;
        for (TilePlaces& tile : *places) {
            const std::int64_t key = tile_key(recipe_.lattice.id, tile.address);
            backgrounds.emplace(
                key, tile_background(std::move(tile), PointContext{recipe_, *survey_, none, {}},
                                     layout_));
        }
        return backgrounds;
    }

    test::Region region_;
    Recipe recipe_;
    SourceGrids sources_;
    std::optional<Survey> survey_;
    std::optional<FusedStations> stations_;
    TileLayout layout_;
};

TEST_F(ComputedTilesOfARegion, AnswerAsTheFileDoes) {
    const auto database = test::open_database(region_.path("out.sqlite"));
    const TileBackgrounds backgrounds = all_backgrounds();
    const PointContext context{recipe_, *survey_, stations_->fusion, stations_->eto};
    int compared = 0;
    for (const LatLon at : {LatLon{46.01, 11.32}, LatLon{47.77, 12.9}, LatLon{48.49, 13.49},
                            LatLon{45.5, 10.5}, LatLon{48.5, 9.95}}) {
        for (const std::optional<std::int32_t> elevation_m :
             {std::optional<std::int32_t>{}, std::optional<std::int32_t>{700}}) {
            const LatLonE7 e7 = to_e7(at);
            const auto expected =
                answer_at(e7, elevation_m, database->lattices(), database->layout(), *database);
            ASSERT_TRUE(expected && expected->found);
            for (const bool only_corners : {true, false}) {
                if (only_corners && !expected->interpolated) continue;
                // Nobody is left out: no station lies at the pole.
                ComputedTiles tiles(backgrounds, context, layout_,
                                    LeftOut{{-90.0, 0.0}, 0.0, nullptr},
                                    only_corners ? std::optional(e7) : std::nullopt);
                const auto answer = answer_at(e7, elevation_m, {recipe_.lattice}, layout_, tiles);
                ASSERT_TRUE(answer && answer->found);
                EXPECT_TRUE(tiles.lacking().empty());
                for (const Layer& layer : layout_.layers) {
                    EXPECT_EQ(answer->of(layer.id), expected->of(layer.id))
                        << layer.name << " at " << at.lat_deg << ", " << at.lon_deg;
                }
                ++compared;
            }
        }
    }
    EXPECT_EQ(compared, 2 * (4 * 2 + 1));
}

TEST_F(ComputedTilesOfARegion, ReportMissingTiles) {
    const TileBackgrounds none;
    const PointContext context{recipe_, *survey_, stations_->fusion, stations_->eto};
    const LatLonE7 at = to_e7({46.01, 11.32});
    ComputedTiles tiles(none, context, layout_, LeftOut{}, at);
    BackgroundTiles background(none);
    for (TileSource* source :
         {static_cast<TileSource*>(&tiles), static_cast<TileSource*>(&background)}) {
        const auto answer = answer_at(at, std::nullopt, {recipe_.lattice}, layout_, *source);
        ASSERT_TRUE(answer.has_value());
        EXPECT_FALSE(answer->found);
    }
    const auto corners = corner_tiles(recipe_.lattice, at);
    EXPECT_FALSE(corners.empty());
    for (const std::int64_t key : corners) {
        EXPECT_TRUE(tiles.lacking().contains(key));
        EXPECT_TRUE(background.lacking().contains(key));
    }
}

}  // namespace
}  // namespace thirstline
