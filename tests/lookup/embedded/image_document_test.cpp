// schema/IMAGE.md compared with the code: its worked example is what the builder writes, and a
// reader in another language, written from the document only, gives the same integers.
#include <gtest/gtest.h>

#include "builder/export/image_tiles.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/format_example.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::Image;
using test::Random;
using test::Sort;

/// As read_image.py prints it.
std::string line_of(const Answer& answer, const Database& database,
                    const std::vector<const Lattice*>& ranked) {
    if (!answer.found) return "0\n";
    std::size_t number = 0;
    while (ranked[number]->id != answer.lattice_id) ++number;
    std::string line = std::to_string(number + 1) + " " + std::to_string(answer.distance_m) + " 0";
    for (int month = 0; month < kMonths; ++month) line += " 0";
    for (const Layer& layer : database.layout().layers) {
        if (!image_part_of(layer.id)) continue;
        const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
        for (std::size_t month = 0; month < months; ++month) {
            const std::int32_t value = answer.of(layer.id)[month];
            line += value == kMissingValue ? " x" : " " + std::to_string(value);
        }
    }
    return line + "\n";
}

class ImageDocument : public testing::Test {
  protected:
    ImageDocument() : text_(test::bytes_of_file(THIRSTLINE_IMAGE_DOCUMENT)) {}

    void write_example() {
        test::write_format_example(folder_.path("example.sqlite"),
                                   {{"XM", "04101", "", {440'625'000, -1'234'375'000}},
                                    {"XM", "04102", "", {441'000'000, -1'234'000'000}}});
        const auto written =
            test::exported(folder_.path("example.sqlite"), "image", {image_, {}, {}, {}});
        ASSERT_TRUE(written) << written.error().message;
    }

    /// What read_image.py prints.
    [[nodiscard]] std::string told_in_python(const std::string& image,
                                             const std::string& questions) const {
        const std::string asked = folder_.path("questions");
        test::write_bytes(asked, questions);
        const auto output =
            test::output_of(std::string(THIRSTLINE_TEST_PYTHON) + " -B " + THIRSTLINE_TEST_FOLDER +
                            "/lookup/embedded/read_image.py " + image + " " +
                            THIRSTLINE_TILE_CODE_DOCUMENT + " < " + asked);
        return output.value_or("it failed");
    }

    test::TemporaryFolder folder_;
    std::string image_ = folder_.path("example.img");
    std::string text_;
};

TEST_F(ImageDocument, ShowsTheImage) {
    write_example();
    const std::string bytes = test::bytes_of_file(image_);
    const std::size_t blocks = bytes.find("Local rules come first.") - 1 - 256;
    const std::string dump = test::hex_dump(bytes, 0, blocks) + "\n" +
                             test::hex_dump(bytes, blocks / 16 * 16, blocks / 16 * 16 + 48);
    EXPECT_NE(text_.find("\n" + dump), std::string::npos) << "schema/IMAGE.md should hold:\n"
                                                          << dump;
}

TEST_F(ImageDocument, ShowsTheAnswers) {
    write_example();
    Image image = Image::of_file(image_);
    std::string lines;
    for (const LatLonE7 site :
         {LatLonE7{440'625'000, -1'234'375'000}, LatLonE7{446'000'000, -1'234'000'000},
          LatLonE7{450'000'000, -1'234'000'000}}) {
        told_in_c told{};
        const int status = image.look_up(test::kImageReaders[0], site, 0, told);
        lines += std::to_string(site.lat_e7) + " " + std::to_string(site.lon_e7) + " :";
        if (status == THIRSTLINE_IMAGE_OK) {
            lines += told.is_interpolated != 0 ? " interpolated" : " nearest";
            for (const std::int32_t number :
                 {told.distance_m, told.values[0][6], told.values[1][6], told.values[1][11]})
                lines += " " + std::to_string(number);
        } else {
            EXPECT_EQ(status, THIRSTLINE_IMAGE_NO_DATA);
            lines += " nothing";
        }
        lines += "\n";
    }
    EXPECT_NE(text_.find("\n" + lines), std::string::npos) << "schema/IMAGE.md should hold:\n"
                                                           << lines;
}

// The same image as an earlier version wrote it: tests/kept_files.
TEST_F(ImageDocument, AnImageThatWasKeptIsReadAsBefore) {
    Image image = Image::of_file(THIRSTLINE_KEPT_FILES "/image-of-0.1.img");
    for (const test::ImageReader& reader : test::kImageReaders) {
        told_in_c told{};
        ASSERT_EQ(image.look_up(reader, {440'625'000, -1'234'375'000}, 0, told),
                  THIRSTLINE_IMAGE_OK);
        EXPECT_EQ(told.values[0][6], 31'500);
        EXPECT_EQ(told.values[1][11], 15'850);
        place_in_c place{};
        ASSERT_EQ(image.find_code(reader, "04102", nullptr, place), THIRSTLINE_IMAGE_OK);
        EXPECT_EQ(place.lat_e7, 441'000'000);
    }
}

TEST_F(ImageDocument, AReaderWrittenFromItFindsCodesAndNotice) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    const std::string database = folder_.path("world.sqlite");
    Random random(8);
    ASSERT_TRUE(test::write_world(test::random_world(Sort::box, random), database));
    ASSERT_TRUE(test::exported(database, "image", {image_, {}, {}, {}}));
    const auto whole = test::opened(database);
    std::string expected;
    for (const char* code : {"1001", "1002", "1003"}) {
        std::string line;
        const auto places = whole->postal_places(code);
        ASSERT_TRUE(places);
        for (const PostalPlace& place : *places)
            line += (line.empty() ? "" : " ") + place.country + " " +
                    std::to_string(place.position.lat_e7) + " " +
                    std::to_string(place.position.lon_e7);
        expected += (line.empty() ? "-" : line) + "\n";
    }
    EXPECT_EQ(told_in_python(image_, "code 1001\ncode 1002\ncode 1003\ntext\n"),
              expected + whole->metadata("notice") + "\n");
}

class AnotherImageReader : public ImageDocument, public testing::WithParamInterface<Sort> {};

TEST_P(AnotherImageReader, GivesTheSameIntegers) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    Random random(900 + static_cast<std::uint32_t>(GetParam()));
    const test::World world = test::random_world(GetParam(), random);
    const std::string path = folder_.path("world.sqlite");
    ASSERT_TRUE(test::write_world(world, path));
    ASSERT_TRUE(test::exported(path, "image",
                               {image_,
                                {},
                                {"eto", "rain", "eto_se", "rain_se", "tmax", "tmin", "elevation"},
                                {},
                                0,
                                true}));
    const auto database = test::opened(path);
    std::vector<const Lattice*> ranked;
    for (const Lattice& lattice : database->lattices()) ranked.push_back(&lattice);
    std::ranges::stable_sort(ranked, [](const Lattice* a, const Lattice* b) {
        return a->rank != b->rank ? a->rank > b->rank : a->id < b->id;
    });
    std::string asked, expected;
    for (const Lattice& lattice : database->lattices()) {
        for (const LatLonE7 site : test::positions_about(lattice, random, 60)) {
            std::optional<std::int32_t> elevation_m;
            if (random.chance(50))
                elevation_m = static_cast<std::int32_t>(random.between(-1000, 4000));
            asked += std::to_string(site.lat_e7) + " " + std::to_string(site.lon_e7) + " " +
                     (elevation_m ? std::to_string(*elevation_m) : "-") + "\n";
            expected += line_of(*database->answer(site, elevation_m), *database, ranked);
        }
    }
    EXPECT_EQ(told_in_python(image_, asked), expected);
}

INSTANTIATE_TEST_SUITE_P(Worlds, AnotherImageReader,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
