// Changes with elevation in an image: which databases have them, and in which squares.
#include <gtest/gtest.h>

#include <fstream>
#include <memory>
#include <string>
#include <vector>

#include "tests/support/export_runs.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/image_sealing.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::AlteredImage;

class ImageGradients : public testing::Test {
  protected:
    Result<void> exported(const std::string& database, const std::string& format = "image") {
        ExportOptions options{image_, {}, {}, {}};
        options.with_gradients = true;
        return test::exported(database, format, options);
    }
    void expect_refused(const Result<void>& written, const std::string& words) {
        ASSERT_FALSE(written);
        EXPECT_EQ(written.error().code, ErrorCode::usage);
        EXPECT_NE(written.error().message.find(words), std::string::npos)
            << written.error().message;
        EXPECT_FALSE(std::ifstream(image_).good()) << "something was written";
    }
    /// A lattice of 5 x 4 tiles of 8 x 8 points.
    std::string database_of(const std::vector<LayerId>& layers, bool alike) {
        test::World world;
        world.layout = test::layout_of(8, layers);
        world.lattices.push_back(test::lattice_of(-540'000, 36'000, 900, 40, 32, 8));
        test::Random random(45);
        test::fill_lattice(world, world.lattices.front(), random, 100);
        for (auto& [key, tile] : world.tiles) {
            if (!alike || tile->of(LayerId::eto_gradient).empty()) continue;
            auto same = std::make_shared<Tile>(*tile);
            for (const LayerId id : {LayerId::eto_gradient, LayerId::rain_gradient})
                same->of(id).assign(kMonths, -150);
            tile = same;
        }
        EXPECT_TRUE(test::write_world(world, folder_.path("world.sqlite")));
        return folder_.path("world.sqlite");
    }
    /// Points along the side of a square.
    [[nodiscard]] int square_edge() const {
        const AlteredImage image(test::Image::of_file(image_).bytes());
        return static_cast<int>(image.number(image.changes() + 16, 1));
    }

    test::TemporaryFolder folder_;
    std::string image_ = folder_.path("world.img");
};

const std::vector<LayerId> kNeeded{LayerId::eto,          LayerId::rain,
                                   LayerId::method,       LayerId::elevation,
                                   LayerId::eto_gradient, LayerId::rain_gradient};

TEST_F(ImageGradients, TilesThatAgreeShareASquare) {
    ASSERT_TRUE(exported(database_of(kNeeded, true)));
    EXPECT_EQ(square_edge(), 16);
    ASSERT_TRUE(exported(database_of(kNeeded, false)));
    EXPECT_EQ(square_edge(), 8);
}

TEST_F(ImageGradients, AreRefusedWhereThereAreNone) {
    expect_refused(exported(database_of({LayerId::eto, LayerId::rain, LayerId::method}, false)),
                   "no changes with elevation");
    expect_refused(exported(THIRSTLINE_KEPT_FILES "/codec-0-of-0.1.sqlite"), "format 1.2");
    expect_refused(exported(database_of(kNeeded, false), "csv"), "--gradients");
}

}  // namespace
}  // namespace thirstline
