// An image in pages: a tile that changes leaves most pages as they were.
#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <string>

#include "tests/support/export_runs.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

constexpr int kPageBytes = 4096;
constexpr int kEdge = 8;

class ImagePages : public testing::Test {
  protected:
    /// The bytes of the world's image.
    std::string image_of(const test::World& world, int page_bytes) {
        const std::string database = folder_.path("world.sqlite");
        const std::string image = folder_.path("world.img");
        EXPECT_TRUE(test::write_world(world, database));
        ExportOptions options{image, {}, {"eto", "rain"}, {}};
        options.page_bytes = page_bytes;
        const auto written = test::exported(database, "image", options);
        EXPECT_TRUE(written) << written.error().message;
        return test::bytes_of_file(image);
    }

    test::TemporaryFolder folder_;
};

test::World wide_world() {
    test::World world;
    world.layout = test::layout_of(kEdge);
    world.lattices.push_back(test::lattice_of(-540000, 36000, 900, 200, 120, kEdge));
    test::Random random(41);
    test::fill_lattice(world, world.lattices.front(), random, 100);
    return world;
}

/// With another ETo of one month at one point.
void change_a_value(test::World& world, LatticePoint point) {
    const Lattice& lattice = world.lattices.front();
    auto changed = std::make_shared<Tile>(*world.tile_at(lattice, point));
    const auto slot = static_cast<std::size_t>(slot_in_tile(lattice, point));
    std::int32_t& value = changed->of(LayerId::eto)[12 * slot + 6];
    value = value < 100 ? value + 50 : value / 2;
    world.tiles[tile_key(lattice.id, tile_of(lattice, point))] = changed;
}

std::size_t changed_pages(const std::string& before, const std::string& after) {
    std::size_t changed = 0;
    for (std::size_t at = 0; at < std::max(before.size(), after.size()); at += kPageBytes) {
        const auto page = [at](const std::string& image) {
            return at < image.size() ? image.substr(at, kPageBytes) : std::string();
        };
        if (page(before) != page(after)) ++changed;
    }
    return changed;
}

TEST_F(ImagePages, OfOtherTilesStayAsTheyWere) {
    test::World world = wide_world();
    const std::string packed = image_of(world, 0);
    const std::string paged = image_of(world, kPageBytes);
    EXPECT_GT(paged.size(), packed.size());
    EXPECT_LT(paged.size(), packed.size() + 8 * kPageBytes) << "seven runs of 128 tiles";
    change_a_value(world, {3, 5});
    const std::string changed_packed = image_of(world, 0);
    ASSERT_NE(changed_packed.size(), packed.size()) << "the tile has its size: a poor example";
    const std::size_t pages = packed.size() / kPageBytes;
    EXPECT_GT(changed_pages(packed, changed_packed), pages * 9 / 10);
    EXPECT_LT(changed_pages(paged, image_of(world, kPageBytes)), pages / 4);
}

TEST_F(ImagePages, AreVerified) {
    const std::string bytes = image_of(wide_world(), kPageBytes);
    for (const test::ImageReader& reader : test::kImageReaders) {
        test::Image image({bytes.begin(), bytes.end()});
        EXPECT_EQ(image.verify(reader), THIRSTLINE_IMAGE_OK) << reader.name;
    }
}

TEST_F(ImagePages, AreOfImagesOnly) {
    const std::string database = folder_.path("world.sqlite");
    ASSERT_TRUE(test::write_world(wide_world(), database));
    ExportOptions options{folder_.path("world.csv"), {}, {}, {}};
    options.page_bytes = kPageBytes;
    const auto written = test::exported(database, "csv", options);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().code, ErrorCode::usage);
    EXPECT_NE(written.error().message.find("--page-bytes"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
