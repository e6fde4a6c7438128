// Damaged and invalid images: an error or a right answer, never a crash, never a wrong number.
// Bytes are in buffers of their exact size, so that a sanitiser detects any access beyond.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "tests/support/export_runs.hpp"
#include "tests/support/format_example.hpp"
#include "tests/support/image_reading.hpp"
#include "tests/support/image_sealing.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::AlteredImage;
using test::Image;
using test::ImageReader;
using test::kImageReaders;
using test::Random;

const std::vector<LatLonE7> kSites{{440'625'000, -1'234'375'000},
                                   {440'000'000, -1'232'500'000},
                                   {446'000'000, -1'234'000'000},
                                   {450'000'000, -1'234'000'000},
                                   {-900'000'000, 0}};

bool is_failure(int status) {
    return status >= THIRSTLINE_IMAGE_DAMAGED;
}

/// Everything that an image is asked here, with what it said; a failure ends a line.
std::vector<std::string> said_by(Image& image, const ImageReader& reader) {
    std::vector<std::string> lines;
    for (const LatLonE7 site : kSites) {
        for (const std::uint32_t part : {0U, 1U, 2U}) {
            told_in_c told{};
            const int status = image.look_up(reader, site, part, told);
            EXPECT_FALSE(image.traffic().strayed);
            std::string line = std::to_string(status);
            if (status == THIRSTLINE_IMAGE_OK) {
                line += " " + std::to_string(told.distance_m) + " " + std::to_string(told.lat_e7);
                for (std::uint32_t layer = 0; layer < told.layers; ++layer)
                    for (const std::int32_t value : told.values[layer])
                        line += " " + std::to_string(value);
            }
            lines.push_back(is_failure(status) ? "failed" : line);
        }
    }
    for (const char* code : {"04101", "04102", "04103"}) {
        place_in_c place{};
        const int status = image.find_code(reader, code, nullptr, place);
        lines.push_back(is_failure(status) ? "failed"
                                           : std::to_string(status) + " " + place.country + " " +
                                                 std::to_string(place.lat_e7) + " " +
                                                 std::to_string(place.lon_e7));
    }
    int status = 0;
    std::uint32_t notice_bytes = 0;
    const std::string text = image.text(reader, status, notice_bytes);
    lines.push_back(is_failure(status) ? "failed" : std::to_string(notice_bytes) + text);
    return lines;
}

class ImageDamage : public testing::Test {
  protected:
    ImageDamage() {
        test::write_format_example(folder_.path("a.sqlite"),
                                   {{"XM", "04101", "", {440'625'000, -1'234'375'000}},
                                    {"XM", "04102", "", {441'000'000, -1'234'000'000}}});
        const auto written =
            test::exported(folder_.path("a.sqlite"), "image", {folder_.path("a"), {}, {}, {}});
        EXPECT_TRUE(written);
        bytes_ = Image::of_file(folder_.path("a")).bytes();
        // Part 1 does not exist, which is no damage but a wrong question.
        whole_ = said(bytes_, kImageReaders[0]);
    }

    static std::vector<std::string> said(std::vector<std::uint8_t> bytes,
                                         const ImageReader& reader) {
        Image image(std::move(bytes));
        return said_by(image, reader);
    }

    /// Every line is what the whole image says, or a failure; true if there is a failure.
    bool fails_or_is_right(const std::vector<std::uint8_t>& bytes, const ImageReader& reader) {
        const auto lines = said(bytes, reader);
        bool fails = false;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (lines[i] == whole_[i]) continue;
            EXPECT_EQ(lines[i], "failed") << "line " << i << " of " << reader.name;
            fails = true;
        }
        return fails;
    }

    test::TemporaryFolder folder_;
    std::vector<std::uint8_t> bytes_;
    std::vector<std::string> whole_;
};

TEST_F(ImageDamage, IsReadAlikeInEveryWay) {
    for (const ImageReader& reader : kImageReaders) EXPECT_EQ(said(bytes_, reader), whole_);
    EXPECT_NE(whole_[0], "failed");
}

TEST_F(ImageDamage, EveryTruncationIsNoticed) {
    for (std::size_t size = 0; size < bytes_.size(); ++size) {
        const std::vector<std::uint8_t> cut(bytes_.begin(),
                                            bytes_.begin() + static_cast<std::ptrdiff_t>(size));
        for (const ImageReader& reader : kImageReaders) {
            Image image(cut);
            ASSERT_EQ(image.opens(reader), THIRSTLINE_IMAGE_DAMAGED) << size;
        }
    }
}

TEST_F(ImageDamage, EveryTruncationThatHidesItselfFailsOrIsRight) {
    for (std::size_t size = 64; size < bytes_.size(); ++size) {
        AlteredImage altered(bytes_);
        altered.cut(size);
        altered.put(12, size, 4);
        if (size >= altered.number(16, 2)) altered.seal_head();
        for (const ImageReader& reader : kImageReaders) {
            ASSERT_TRUE(fails_or_is_right(altered.bytes(), reader)) << size;
            if (HasFailure()) FAIL() << size;
        }
    }
}

TEST_F(ImageDamage, EveryChangedByteFailsOrIsRight) {
    std::size_t unnoticed = 0;
    for (std::size_t at = 0; at < bytes_.size(); ++at) {
        for (const int change : {0xFF, 0x01, 0x80}) {
            std::vector<std::uint8_t> changed = bytes_;
            changed[at] = static_cast<std::uint8_t>(changed[at] ^ change);
            for (const ImageReader& reader : kImageReaders) {
                if (!fails_or_is_right(changed, reader)) ++unnoticed;
                if (HasFailure()) FAIL() << at;
            }
        }
    }
    // Every byte of it is under a checksum that one of the questions looks at.
    EXPECT_EQ(unnoticed, 0U);
}

TEST_F(ImageDamage, VerifyNoticesEveryChangedByte) {
    for (const ImageReader& reader : kImageReaders) {
        Image whole(bytes_);
        ASSERT_EQ(whole.verify(reader), THIRSTLINE_IMAGE_OK) << reader.name;
        EXPECT_FALSE(whole.traffic().strayed);
        for (std::size_t at = 0; at < bytes_.size(); ++at) {
            std::vector<std::uint8_t> changed = bytes_;
            changed[at] = static_cast<std::uint8_t>(changed[at] ^ (1U << at % 8));
            Image image(changed);
            ASSERT_TRUE(is_failure(image.verify(reader))) << at << ", " << reader.name;
        }
    }
}

// Checksums that fit, as a faulty writer would make them: the number of codes and their order.
TEST_F(ImageDamage, VerifyNoticesEveryChangedByteOfChangesWithElevation) {
    ASSERT_TRUE(test::exported(folder_.path("a.sqlite"), "image",
                               {folder_.path("b"), {}, {}, {}, 0, true}));
    const auto bytes = Image::of_file(folder_.path("b")).bytes();
    for (std::size_t at = AlteredImage(bytes).changes(); at < bytes.size(); ++at) {
        AlteredImage altered(bytes);
        altered.put(at, altered.number(at, 1) ^ 0x10U, 1);
        Image image(altered.bytes());
        EXPECT_EQ(image.verify(kImageReaders[at % 4]), THIRSTLINE_IMAGE_DAMAGED) << at;
    }
    for (const ImageReader& reader : kImageReaders) {
        Image image(bytes);
        EXPECT_EQ(image.verify(reader), THIRSTLINE_IMAGE_OK) << reader.name;
    }
}

// An image that was made without them is no damage, but a wrong question; and so is an impossible
// elevation.
TEST_F(ImageDamage, AnElevationNeedsChangesWithElevation) {
    told_in_c told{};
    Image without(bytes_);
    ASSERT_TRUE(test::exported(folder_.path("a.sqlite"), "image",
                               {folder_.path("b"), {}, {}, {}, 0, true}));
    Image with = Image::of_file(folder_.path("b"));
    for (const ImageReader& reader : kImageReaders) {
        EXPECT_EQ(without.look_up(reader, kSites[0], 0, told, 100), THIRSTLINE_IMAGE_BAD_ARGUMENT);
        EXPECT_EQ(with.look_up(reader, kSites[0], 0, told, 100), THIRSTLINE_IMAGE_OK);
        for (const int impossible : {-1001, 10'001, INT32_MIN, INT32_MAX})
            EXPECT_EQ(with.look_up(reader, kSites[0], 0, told, impossible),
                      THIRSTLINE_IMAGE_BAD_ARGUMENT);
    }
}

TEST_F(ImageDamage, VerifyCountsCodes) {
    AlteredImage altered(bytes_);
    altered.put(28, altered.number(28, 4) + 1, 4);
    altered.seal_head();
    for (const ImageReader& reader : kImageReaders) {
        Image image(altered.bytes());
        EXPECT_EQ(image.opens(reader), THIRSTLINE_IMAGE_OK);
        EXPECT_EQ(image.verify(reader), THIRSTLINE_IMAGE_DAMAGED);
    }
}

TEST_F(ImageDamage, TheSizeIsInTheFirstBytes) {
    EXPECT_EQ(thirstline_image_size(bytes_.data()), bytes_.size());
    for (std::size_t at = 0; at < 10; ++at) {
        std::vector<std::uint8_t> changed = bytes_;
        changed[at] ^= 0x20U;
        EXPECT_EQ(thirstline_image_size(changed.data()), 0U) << at;
    }
}

TEST_F(ImageDamage, ReportsAFailedRead) {
    for (int failing = 0;; ++failing) {
        image_in_c in_c{};
        in_c.bytes = bytes_.data();
        in_c.size = static_cast<std::uint32_t>(bytes_.size());
        in_c.by_callback = 1;
        in_c.buffer_bytes = 512;
        in_c.failing_read = failing;
        const int opened = image_in_c_open(&in_c);
        if (opened == THIRSTLINE_IMAGE_OK) {
            EXPECT_GT(failing, 3);
            break;
        }
        EXPECT_EQ(opened, THIRSTLINE_IMAGE_UNREADABLE);
    }
}

TEST_F(ImageDamage, ReportsABufferThatIsTooSmall) {
    for (const std::uint32_t room : {1U, 63U}) {
        image_in_c in_c{};
        in_c.bytes = bytes_.data();
        in_c.size = static_cast<std::uint32_t>(bytes_.size());
        in_c.by_callback = 1;
        in_c.buffer_bytes = room;
        in_c.failing_read = -1;
        EXPECT_EQ(image_in_c_open(&in_c), THIRSTLINE_IMAGE_UNSUPPORTED);
    }
}

TEST_F(ImageDamage, WrongQueriesAreNotReportedAsDamage) {
    Image image(bytes_);
    told_in_c told{};
    for (const ImageReader& reader : kImageReaders) {
        for (const LatLonE7 site : {LatLonE7{900'000'001, 0}, LatLonE7{-900'000'001, 0},
                                    LatLonE7{0, 1'800'000'000}, LatLonE7{0, -1'800'000'001}})
            EXPECT_EQ(image.look_up(reader, site, 0, told), THIRSTLINE_IMAGE_BAD_ARGUMENT);
        EXPECT_EQ(image.look_up(reader, kSites[0], 1, told), THIRSTLINE_IMAGE_BAD_ARGUMENT);
        EXPECT_EQ(image.look_up(reader, kSites[0], 4, told), THIRSTLINE_IMAGE_BAD_ARGUMENT);
        EXPECT_EQ(image.look_up(reader, kSites[0], ~0U, told), THIRSTLINE_IMAGE_BAD_ARGUMENT);
    }
}

// A larger image of several lattices and parts: changed bytes all over it.
TEST(DamagedImageOfManyParts, ChangedBytesFailOrAreRight) {
    const test::TemporaryFolder folder;
    Random random(11);
    const test::World world = test::random_world(test::Sort::crossing, random);
    ASSERT_TRUE(test::write_world(world, folder.path("a.sqlite")));
    ASSERT_TRUE(test::exported(folder.path("a.sqlite"), "image",
                               {folder.path("a"),
                                {},
                                {"eto", "rain", "eto_se", "rain_se", "tmax", "tmin", "elevation"},
                                {},
                                0,
                                true}));
    const auto bytes = Image::of_file(folder.path("a")).bytes();
    const auto database = test::opened(folder.path("a.sqlite"));
    const auto sites = test::positions_about(world.lattices.front(), random, 40);
    for (int n = 0; n < 4'000; ++n) {
        auto changed = bytes;
        changed[static_cast<std::size_t>(
            random.between(0, static_cast<std::int64_t>(bytes.size()) - 1))] ^=
            static_cast<std::uint8_t>(random.between(1, 255));
        Image image(changed);
        const LatLonE7 site = sites[static_cast<std::size_t>(n) % sites.size()];
        std::optional<std::int32_t> elevation_m;
        if (random.chance(50)) elevation_m = static_cast<std::int32_t>(random.between(-500, 3000));
        told_in_c told{};
        const int status =
            image.look_up(kImageReaders[static_cast<std::size_t>(n) % 4], site,
                          static_cast<std::uint32_t>(random.between(0, 3)), told, elevation_m);
        if (is_failure(status)) continue;
        const auto answer = database->answer(site, elevation_m);
        ASSERT_EQ(status == THIRSTLINE_IMAGE_OK, answer->found);
        for (std::uint32_t layer = 0; layer < told.layers && answer->found; ++layer) {
            const auto& expected = answer->of(static_cast<LayerId>(told.ids[layer]));
            for (std::size_t month = 0; month < kMonths; ++month)
                ASSERT_EQ(told.values[layer][month], expected[month]);
        }
    }
}

}  // namespace
}  // namespace thirstline
