// Which SQLite page size a file is written with. The sizes with other pages are taken from SQLite
// itself, with its VACUUM INTO.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "schema/database/database_writer.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

class PageSizes : public testing::Test {
  protected:
    PageSizes() {
        world_.layout = test::layout_of(4);
        world_.lattices = {test::lattice_of(0, 0, 3'600, 9, 9, 4)};
    }

    /// Tiles of arbitrary bytes: a file is checked as a whole, its tiles when they are read.
    std::string written(const std::string& name, int codec, int tiles, std::size_t tile_bytes,
                        int postal_codes = 0) const {
        const std::string path = folder_.path(name);
        const auto writer = DatabaseWriter::create(path, world_.layout);
        EXPECT_TRUE(writer && (*writer)->add_lattice(world_.lattices.front()));
        const std::int64_t first = tile_key(1, {0, 0});
        for (int tile = 0; tile < tiles; ++tile) {
            const std::vector<std::uint8_t> data(tile_bytes + static_cast<std::size_t>(tile % 7),
                                                 static_cast<std::uint8_t>(tile));
            EXPECT_TRUE((*writer)->add_tile(first + tile, codec, data));
        }
        for (int code = 0; code < postal_codes; ++code) {
            PostalPlace place;
            place.code = std::to_string(10'000 + code);
            place.country = "ZZ";
            place.place = "Merrow";
            EXPECT_TRUE((*writer)->add_postal_place(place));
        }
        const auto bytes = (*writer)->finish();
        EXPECT_TRUE(bytes && *bytes == static_cast<std::int64_t>(std::filesystem::file_size(path)));
        return path;
    }

    /// Big-endian at byte 16 of the header: https://www.sqlite.org/fileformat2.html, 1.3.2.
    static int page_bytes(const std::string& path) {
        const std::string head = test::bytes_of_file(path).substr(16, 2);
        return static_cast<unsigned char>(head[0]) * 256 + static_cast<unsigned char>(head[1]);
    }

    std::uintmax_t bytes_with_pages_of(const std::string& path, int page_bytes) const {
        const std::string copy = folder_.path("copy.sqlite");
        std::filesystem::remove(copy);
        test::run_on_file(path, "PRAGMA page_size = " + std::to_string(page_bytes) +
                                    "; VACUUM INTO '" + copy + "';");
        const std::uintmax_t bytes = std::filesystem::file_size(copy);
        std::filesystem::remove(copy);
        return bytes;
    }

    test::TemporaryFolder folder_;
    test::World world_;
};

TEST_F(PageSizes, MakeACompactFileTheSmallest) {
    struct Case {
        int tiles;
        std::size_t tile_bytes;
        int postal_codes;
    };
    std::set<int> chosen;
    for (const Case& each : {Case{1, 1300, 0}, Case{400, 480, 0}, Case{400, 1300, 0},
                             Case{400, 3900, 0}, Case{40, 1300, 8000}}) {
        const std::string path =
            written("a.sqlite", kCodecPredictive, each.tiles, each.tile_bytes, each.postal_codes);
        for (const int page : {512, 1024, 2048, 4096})
            EXPECT_LE(std::filesystem::file_size(path), bytes_with_pages_of(path, page)) << page;
        chosen.insert(page_bytes(path));
        EXPECT_EQ(folder_.names(), std::vector<std::string>{"a.sqlite"});
    }
    EXPECT_GE(chosen.size(), 2U);  // no one size is best for all
}

TEST_F(PageSizes, AreTheUsualOnesInAPlainFile) {
    EXPECT_EQ(page_bytes(written("a.sqlite", kCodecPlain, 400, 1300)), 4096);
}

TEST_F(PageSizes, AreChosenAlikeForTheSameContent) {
    const std::string first = test::bytes_of_file(written("a.sqlite", kCodecPredictive, 300, 900));
    EXPECT_TRUE(test::bytes_of_file(written("b.sqlite", kCodecPredictive, 300, 900)) == first);
}

}  // namespace
}  // namespace thirstline
