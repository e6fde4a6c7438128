// Each numbered rule of schema/IMAGE.md, section 9, has images that break only it: their checksums
// are valid. Those that are rejected only when a record is read can still be opened.
#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

#include "tests/support/export_runs.hpp"
#include "tests/support/format_example.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/image_sealing.hpp"

namespace thirstline {
namespace {

using test::AlteredImage;
using test::Image;
using test::kImageReaders;

enum class Noticed { when_opened, at_a_look_up, at_a_code, at_the_text, at_an_elevation };

struct Break {
    int rule;
    std::string what;
    Noticed noticed;
    std::function<void(AlteredImage&)> make;
    int status = THIRSTLINE_IMAGE_DAMAGED;
};

/// A number of the head, and a checksum that fits.
std::function<void(AlteredImage&)> head(std::size_t at, std::uint64_t value, int width) {
    return [=](AlteredImage& image) {
        image.put(at, value, width);
        image.seal_head();
    };
}
std::function<void(AlteredImage&)> layer(std::size_t at, std::uint64_t value, int width) {
    return head(AlteredImage::kFirstLayer + at, value, width);
}
std::function<void(AlteredImage&)> lattice(std::size_t at, std::uint64_t value, int width = 4) {
    return head(AlteredImage::kLattice + at, value, width);
}
std::function<void(AlteredImage&)> directory(std::size_t at, std::uint64_t value, int width) {
    return [=](AlteredImage& image) {
        image.put(image.directory() + at, value, width);
        image.seal_record(image.directory(), 24);
    };
}
std::function<void(AlteredImage&)> tile(std::size_t at, std::uint64_t value) {
    return [=](AlteredImage& image) {
        image.put(image.tile() + at, value, 1);
        image.seal_first_tile(image.tile(), image.tile_bytes());
    };
}
std::function<void(AlteredImage&)> leaf(std::size_t at, std::uint64_t value) {
    return [=](AlteredImage& image) {
        image.put(image.postal() + at, value, 1);
        image.seal_record(image.postal(), 256);
    };
}
std::function<void(AlteredImage&)> texts(std::size_t at, std::uint64_t value) {
    return [=](AlteredImage& image) {
        image.put(image.texts() + at, value, 1);
        image.seal_record(image.texts(), 256);
    };
}

/// A number of the head of the changes with elevation, or of the first square behind it.
std::function<void(AlteredImage&)> changes(std::size_t at, std::uint64_t value, int width) {
    return [=](AlteredImage& image) {
        image.put(image.changes() + at, value, width);
        image.seal_record(image.changes(), 16 + 8 + 4);
    };
}

/// A second block of the postal index, in the place of the texts, that is to tell of the first and
/// tells of itself.
void make_index_of_itself(AlteredImage& image) {
    image.put(21, 1, 1);
    image.put(36, 2, 4);
    image.seal_head();
    const std::size_t block = image.texts();
    image.put(block, 1, 1);
    image.put(block + 1, 1, 4);
    image.put(block + 5, 0x01, 1);
    image.put(block + 6, '0', 1);
    image.seal_record(block, 256);
}

const std::vector<Break>& breaks() {
    using enum Noticed;
    static const std::vector<Break> kBreaks{
        {1, "magic", when_opened, head(0, 'x', 1)},
        {1, "major version", when_opened, head(8, 2, 2), THIRSTLINE_IMAGE_UNSUPPORTED},
        {1, "length", when_opened, head(12, 70'000, 4)},
        {2, "head's length", when_opened,
         [](AlteredImage& image) {
             image.put(16, image.number(16, 2) + 4U, 2);
             image.seal_head();
         }},
        {2, "head's checksum", when_opened, [](AlteredImage& image) { image.put(52, 3, 4); }},
        {3, "tile edge 1", when_opened, head(18, 1, 1)},
        {3, "tile edge 9", when_opened, head(18, 9, 1)},
        {3, "tile edge 0", when_opened, head(18, 0, 1)},
        {3, "levels", when_opened,
         [](AlteredImage& image) {
             image.put(21, 9, 1);
             image.put(36, 2, 4);
             image.seal_head();
         }},
        {3, "bytes of a step 1", when_opened, head(22, 1, 1)},
        {3, "bytes of a step 5", when_opened, head(22, 5, 1)},
        {3, "unit of a step", when_opened, head(24, 0, 4)},
        {3, "layer 0", when_opened, layer(0, 0, 1)},
        {3, "layers out of order", when_opened, layer(0, 3, 1)},
        {3, "part 4", when_opened, layer(9, 4, 1)},
        {3, "no layer in part 0", when_opened, layer(1, 1, 1)},
        {3, "form of a layer", when_opened, layer(2, 2, 1)},
        {3, "sign of a layer", when_opened, layer(3, 2, 1)},
        {3, "divisor 0", when_opened, layer(4, 0, 2)},
        {3, "divisor 10001", when_opened, layer(4, 10'001, 2)},
        {3, "west", when_opened, lattice(0, 648'000)},
        {3, "west again", when_opened, lattice(0, static_cast<std::uint32_t>(-648'001))},
        {3, "south", when_opened, lattice(4, static_cast<std::uint32_t>(-324'001))},
        {3, "spacing 0", when_opened, lattice(8, 0)},
        {3, "spacing 36001", when_opened, lattice(8, 36'001)},
        {3, "columns 0", when_opened, lattice(12, 0)},
        {3, "columns round the circle", when_opened, lattice(12, 1'441)},
        {3, "columns beyond all", when_opened, lattice(12, 0xFFFF'FFFF)},
        {3, "rows 0", when_opened, lattice(16, 0)},
        {3, "rows past the pole", when_opened, lattice(16, 186)},
        {3, "rows beyond all", when_opened, lattice(16, 0xFFFF'FFFF)},
        {3, "reach", when_opened, lattice(20, 20'000'001)},
        {3, "no directory", when_opened, lattice(24, 0)},
        {4, "directory", when_opened, lattice(24, 0xFFFF'FFF0)},
        {4, "directory by its length", when_opened,
         [](AlteredImage& image) {
             image.put(AlteredImage::kLattice + 24, image.bytes().size() - 23, 4);
             image.seal_head();
         }},
        {4, "postal blocks", when_opened, head(32, 0xFFFF'FF00, 4)},
        {4, "more postal blocks", when_opened,
         [](AlteredImage& image) {
             image.put(36, 0x0100'0001, 4);
             image.put(21, 1, 1);
             image.seal_head();
         }},
        {4, "text blocks", when_opened, head(44, 0xFFFF'FF00, 4)},
        {4, "more text", when_opened, head(48, 0xFFFF'FFFF, 4)},
        {5, "no leaves", when_opened, head(40, 0, 4)},
        {5, "more leaves than blocks", when_opened, head(40, 2, 4)},
        {5, "levels of one block", when_opened, head(21, 1, 1)},
        {5, "no levels of two blocks", when_opened, head(36, 2, 4)},
        {5, "notice", when_opened, head(52, 5'000, 4)},
        {5, "no text", when_opened,
         [](AlteredImage& image) {
             image.put(48, 0, 4);
             image.put(52, 0, 4);
             image.seal_head();
         }},
        {6, "directory's checksum", at_a_look_up,
         [](AlteredImage& image) { image.put(image.directory(), 1, 1); }},
        {6, "tile past the end", at_a_look_up, directory(0, 0xFFFF'FFF0, 4)},
        {6, "tile of 4 bytes", at_a_look_up, directory(4, 4, 2)},
        {6, "tile of 1 byte", at_a_look_up, directory(4, 1, 2)},
        {6, "tile larger than the head says", at_a_look_up,
         [](AlteredImage& image) {
             image.put(56, image.tile_bytes() - 1, 2);
             image.seal_head();
         }},
        {7, "tile's checksum", at_a_look_up,
         [](AlteredImage& image) { image.put(image.tile() + 9, 0xEE, 1); }},
        {7, "tile without points", at_a_look_up, tile(0, 0x02)},
        {7, "tile that its code rejects", at_a_look_up, tile(10, 0xFF)},
        {8, "block's checksum", at_a_code,
         [](AlteredImage& image) { image.put(image.postal() + 250, 1, 1); }},
        {8, "block without entries", at_a_code, leaf(0, 0)},
        {9, "more entries than fit", at_a_code, leaf(0, 255)},
        {9, "shares more than there is", at_a_code, leaf(1, 0x95)},
        {9, "empty code", at_a_code, leaf(1, 0x80)},
        {9, "first entry without country", at_a_code, leaf(1, 0x05)},
        {10, "index of itself", at_a_code, make_index_of_itself},
        {11, "length of a text block", at_the_text, texts(0, 9)},
        {12, "checksum of the changes with elevation", at_an_elevation,
         [](AlteredImage& image) { image.put(image.changes() + 2, 999, 2); }},
        {12, "checksum of a square", at_an_elevation,
         [](AlteredImage& image) { image.put(image.changes() + 28, 999, 2); }},
        {12, "layer of changes", at_an_elevation, changes(0, 11, 2)},
        {12, "divisor 0 of changes", at_an_elevation, changes(2, 0, 2)},
        {12, "divisor 10001 of changes", at_an_elevation, changes(2, 10'001, 2)},
        {12, "divisor of no changes", at_an_elevation, changes(10, 100, 2)},
        {12, "square edge 0", at_an_elevation, changes(16, 0, 1)},
        {12, "square edge 17", at_an_elevation, changes(16, 17, 1)},
        {12, "rows before the lattice", at_an_elevation, changes(17, 16, 1)},
        {12, "columns before the lattice", at_an_elevation, changes(18, 16, 1)},
        {12, "squares past the end", at_an_elevation, changes(20, 0xFFFF'FFF0, 4)},
    };
    return kBreaks;
}

class ImageRules : public testing::Test {
  protected:
    ImageRules() {
        test::write_format_example(folder_.path("a.sqlite"),
                                   {{"XM", "04101", "", {440'625'000, -1'234'375'000}},
                                    {"XM", "04102", "", {441'000'000, -1'234'000'000}}});
        EXPECT_TRUE(
            test::exported(folder_.path("a.sqlite"), "image", {folder_.path("a"), {}, {}, {}}));
        bytes_ = Image::of_file(folder_.path("a")).bytes();
        EXPECT_TRUE(test::exported(folder_.path("a.sqlite"), "image",
                                   {folder_.path("b"), {}, {"eto"}, {}, 0, true}));
        with_changes_ = Image::of_file(folder_.path("b")).bytes();
    }

    static int status_of(Image& image, const test::ImageReader& reader, Noticed noticed) {
        told_in_c told{};
        place_in_c place{};
        int status = 0;
        std::uint32_t notice_bytes = 0;
        switch (noticed) {
            case Noticed::when_opened:
                return image.opens(reader);
            case Noticed::at_a_look_up:
                return image.look_up(reader, {440'625'000, -1'234'375'000}, 0, told);
            case Noticed::at_a_code:
                return image.find_code(reader, "04102", nullptr, place);
            case Noticed::at_the_text:
                (void)image.text(reader, status, notice_bytes);
                return status;
            case Noticed::at_an_elevation:
                return image.look_up(reader, {440'625'000, -1'234'375'000}, 0, told, 100);
        }
        return -1;
    }

    test::TemporaryFolder folder_;
    std::vector<std::uint8_t> bytes_;
    std::vector<std::uint8_t> with_changes_;  ///< with elevation, of ETo alone
};

TEST_F(ImageRules, EachIsKept) {
    std::vector<bool> has_file(13, false);
    for (const Break& broken : breaks()) {
        SCOPED_TRACE("rule " + std::to_string(broken.rule) + ": " + broken.what);
        has_file[static_cast<std::size_t>(broken.rule)] = true;
        AlteredImage altered(broken.noticed == Noticed::at_an_elevation ? with_changes_ : bytes_);
        broken.make(altered);
        for (const test::ImageReader& reader : kImageReaders) {
            SCOPED_TRACE(reader.name);
            Image image(altered.bytes());
            EXPECT_EQ(status_of(image, reader, broken.noticed), broken.status);
            if (broken.noticed != Noticed::when_opened) {
                EXPECT_EQ(image.opens(reader), THIRSTLINE_IMAGE_OK);
            }
        }
    }
    for (std::size_t rule = 1; rule < has_file.size(); ++rule) EXPECT_TRUE(has_file[rule]) << rule;
}

TEST_F(ImageRules, AreThoseOfTheDocument) {
    const std::string document = test::bytes_of_file(THIRSTLINE_IMAGE_DOCUMENT);
    EXPECT_NE(document.find("\n12. "), std::string::npos);
    EXPECT_EQ(document.find("\n13. "), std::string::npos) << "a new rule needs its file here";
}

// What a later minor version may do is no reason to refuse an image.
TEST_F(ImageRules, ANewerMinorVersionIsRead) {
    AlteredImage altered(bytes_);
    altered.put(10, 7, 2);
    altered.put(23, 0xAA, 1);
    altered.put(AlteredImage::kFirstLayer + 6, 0xAAAA, 2);
    altered.seal_head();
    for (const test::ImageReader& reader : kImageReaders) {
        Image image(altered.bytes());
        told_in_c told{};
        EXPECT_EQ(image.look_up(reader, {440'625'000, -1'234'375'000}, 0, told),
                  THIRSTLINE_IMAGE_OK);
        EXPECT_EQ(told.values[0][6], 31'500);
    }
}

}  // namespace
}  // namespace thirstline
