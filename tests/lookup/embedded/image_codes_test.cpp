// Postal codes in an image: every code of a country gives its position, and a code that is not
// there gives none, for all forms and numbers of codes.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <tuple>

#include "schema/base/words.hpp"
#include "schema/database/postal_codes.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/format_example.hpp"
#include "tests/support/image_reading.hpp"

namespace thirstline {
namespace {

using test::Image;
using test::ImageReader;
using test::kImageReaders;
using test::Random;

/// Codes of a sort: five digits, letters and digits, short ones, long ones.
std::string random_code(Random& random, int sort) {
    std::string code;
    const auto letters = sort == 0 ? 5 : sort == 1 ? 6 : random.between(1, 15);
    for (std::int64_t at = 0; at < letters; ++at) {
        const bool is_digit = sort == 0 || random.chance(50);
        code += static_cast<char>(is_digit ? '0' + random.between(0, 9)
                                           : 'A' + random.between(0, sort == 1 ? 25 : 2));
    }
    return code;
}

std::vector<PostalPlace> random_places(Random& random, int count) {
    std::map<std::pair<std::string, std::string>, PostalPlace> places;
    const std::int64_t countries = random.between(1, 3);
    const std::int64_t unit = random.chance(50) ? 1 : random.chance(50) ? 10 : 1'000;
    while (static_cast<int>(places.size()) < count) {
        const std::int64_t sort = random.between(0, countries - 1);
        const std::string code = random_code(random, static_cast<int>(sort));
        const std::string country{'X', static_cast<char>('A' + random.between(0, countries - 1))};
        const bool is_near = random.chance(90);
        const auto within = [&](std::int64_t least, std::int64_t greatest) {
            return static_cast<std::int32_t>(random.between(least / unit, greatest / unit) * unit);
        };
        const LatLonE7 at = is_near ? LatLonE7{within(440'000'000, 450'000'000),
                                               within(-1'240'000'000, -1'230'000'000)}
                                    : LatLonE7{within(-900'000'000, 900'000'000),
                                               within(-1'799'999'999, 1'799'999'999)};
        places.insert({{code, country}, {country, code, "", at}});
    }
    std::vector<PostalPlace> all;
    for (const auto& [key, place] : places) all.push_back(place);
    return all;
}

class ImageCodes : public testing::TestWithParam<int> {};

TEST_P(ImageCodes, FindsAllAndNoOthers) {
    const test::TemporaryFolder folder;
    Random random(40 + static_cast<std::uint32_t>(GetParam()));
    const std::vector<PostalPlace> places = random_places(random, GetParam());
    test::write_format_example(folder.path("a.sqlite"), places);
    ASSERT_TRUE(test::exported(folder.path("a.sqlite"), "image", {folder.path("a"), {}, {}, {}}));
    Image image = Image::of_file(folder.path("a"));
    std::map<std::string, std::vector<PostalPlace>> by_code;
    for (const PostalPlace& place : places) by_code[place.code].push_back(place);

    for (const ImageReader& reader : kImageReaders) {
        for (const auto& [code, those] : by_code) {
            if (GetParam() > 5'000 && !random.chance(10)) continue;
            SCOPED_TRACE(code + ", " + reader.name);
            place_in_c found{};
            ASSERT_EQ(image.find_code(reader, code, nullptr, found),
                      those.size() == 1 ? THIRSTLINE_IMAGE_OK : THIRSTLINE_IMAGE_SEVERAL);
            ASSERT_EQ((LatLonE7{found.lat_e7, found.lon_e7}), those.front().position);
            ASSERT_EQ(found.country, those.front().country);
            for (const PostalPlace& place : those) {
                ASSERT_EQ(image.find_code(reader, code, place.country.c_str(), found),
                          THIRSTLINE_IMAGE_OK);
                ASSERT_EQ((LatLonE7{found.lat_e7, found.lon_e7}), place.position);
            }
            ASSERT_EQ(image.find_code(reader, code, "ZZ", found), THIRSTLINE_IMAGE_NO_SUCH_CODE);
            for (std::string other : {code + "0", code.substr(1), code.substr(0, code.size() - 1),
                                      "0" + code, code + " "}) {
                if (by_code.contains(other)) continue;
                ASSERT_EQ(image.find_code(reader, other, nullptr, found),
                          THIRSTLINE_IMAGE_NO_SUCH_CODE)
                    << other;
            }
        }
        place_in_c found{};
        for (const char* other : {"", "~~~~", "0123456789012345678901234567890", "!"})
            ASSERT_EQ(image.find_code(reader, other, nullptr, found),
                      THIRSTLINE_IMAGE_NO_SUCH_CODE);
    }
}

INSTANTIATE_TEST_SUITE_P(Counts, ImageCodes, testing::Values(1, 2, 40, 700, 9'000));

/// The same code as someone else would type it; sometimes another text.
std::string typed_otherwise(Random& random, std::string code) {
    if (random.chance(20)) code += random.chance(50) ? "-1234" : " 1234";
    if (random.chance(20) && code.size() == 3) code += random.chance(50) ? " 0b1" : "0B1";
    std::string typed = random.chance(20) ? "  " : "";
    for (const char c : code) {
        if (random.chance(3)) typed += random.chance(50) ? ' ' : '-';
        if (random.chance(1)) typed += "x!\t"[random.between(0, 2)];
        typed += random.chance(50) ? ascii_upper(c) : static_cast<char>(std::tolower(c));
        if (c == ' ' && random.chance(30)) typed += "\t ";
    }
    if (random.chance(10)) typed.pop_back();
    return random.chance(20) ? typed + " " : typed;
}

// The rules of the database are the truth.
TEST(ImageCodesAsTyped, MeanWhatTheyMeanInADatabase) {
    const test::TemporaryFolder folder;
    Random random(97);
    std::vector<PostalPlace> places;
    const std::vector<std::pair<std::string, std::string>> stored{
        {"01000", "MX"}, {"01000", "US"}, {"04101", "US"},    {"04101", "XM"},
        {"97401", "US"}, {"A1B", "XM"},   {"A1B 0C2", "XM"},  {"K1A", "CA"},
        {"K1A", "XM"},   {"K2C", "CA"},   {"SW1A 1AA", "GB"}, {"974011234", "XM"}};
    for (const auto& [code, country] : stored) {
        const auto number = static_cast<std::int32_t>(places.size());
        places.push_back({country, code, "", {440'000'000 + 1'000 * number, -1'234'000'000}});
    }
    std::sort(places.begin(), places.end(), [](const PostalPlace& a, const PostalPlace& b) {
        return std::tie(a.code, a.country) < std::tie(b.code, b.country);
    });
    test::write_format_example(folder.path("a.sqlite"), places);
    ASSERT_TRUE(test::exported(folder.path("a.sqlite"), "image", {folder.path("a"), {}, {}, {}}));
    Image image = Image::of_file(folder.path("a"));
    const auto database = test::opened(folder.path("a.sqlite"));

    std::map<int, int> statuses;
    for (int round = 0; round < 3'000; ++round) {
        const auto& base = stored[static_cast<std::size_t>(random.between(0, 11))];
        const std::string typed = typed_otherwise(random, base.first);
        const bool names_country = random.chance(50);
        std::vector<PostalPlace> meant;
        if (names_country) {
            const auto code = normalised_postal_code(base.second, typed);
            for (const PostalPlace& place : places)
                if (code && place.code == *code && place.country == base.second)
                    meant.push_back(place);
        } else if (const auto those = places_meant_by(*database, typed)) {
            meant = *those;
        }
        const int expected = meant.empty()       ? THIRSTLINE_IMAGE_NO_SUCH_CODE
                             : meant.size() == 1 ? THIRSTLINE_IMAGE_OK
                                                 : THIRSTLINE_IMAGE_SEVERAL;
        ++statuses[expected];
        for (const ImageReader& reader : kImageReaders) {
            place_in_c found{};
            const char* const country = names_country ? base.second.c_str() : nullptr;
            ASSERT_EQ(image.find_typed_code(reader, typed, country, found), expected)
                << '"' << typed << "\" of " << base.second << ", " << reader.name;
            if (meant.size() == 1) {
                ASSERT_EQ((LatLonE7{found.lat_e7, found.lon_e7}), meant.front().position) << typed;
                ASSERT_EQ(found.country, meant.front().country);
            }
        }
    }
    for (const int status :
         {THIRSTLINE_IMAGE_OK, THIRSTLINE_IMAGE_NO_SUCH_CODE, THIRSTLINE_IMAGE_SEVERAL})
        EXPECT_GT(statuses[status], 100);
}

TEST(ImageCodesOfNone, AreNotFound) {
    const test::TemporaryFolder folder;
    test::write_format_example(folder.path("a.sqlite"), {});
    ASSERT_TRUE(test::exported(folder.path("a.sqlite"), "image", {folder.path("a"), {}, {}, {}}));
    Image image = Image::of_file(folder.path("a"));
    place_in_c found{};
    for (const ImageReader& reader : kImageReaders)
        EXPECT_EQ(image.find_code(reader, "04101", nullptr, found), THIRSTLINE_IMAGE_NO_SUCH_CODE);
}

TEST(ImageCodesTooLong, AreRefusedByName) {
    const test::TemporaryFolder folder;
    test::write_format_example(folder.path("a.sqlite"),
                               {{"XM", "0123456789ABCDEF", "", {440'000'000, -1'234'000'000}}});
    const auto written =
        test::exported(folder.path("a.sqlite"), "image", {folder.path("a"), {}, {}, {}});
    ASSERT_FALSE(written);
    EXPECT_NE(written.error().message.find("0123456789ABCDEF"), std::string::npos);
    EXPECT_EQ(folder.names(), std::vector<std::string>{"a.sqlite"});
}

}  // namespace
}  // namespace thirstline
