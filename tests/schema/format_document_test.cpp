// The worked example of schema/FORMAT.md is what the code produces, byte for byte and digit for
// digit.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "schema/checksum.hpp"
#include "schema/database.hpp"
#include "schema/database_writer.hpp"
#include "schema/tile_codec.hpp"
#include "schema/version.hpp"
#include "small_worlds.hpp"

namespace thirstline {
namespace {

/// Two by two points a quarter of a degree apart from 44° N 123.5° W; the north-east one is
/// missing.
test::World example_world() {
    using enum LayerId;
    test::World world;
    world.layout = test::layout_of(2, {eto, rain, elevation, eto_gradient, rain_gradient});
    Lattice lattice = test::lattice_of(-444'600, 158'400, 900, 2, 2, 2);
    lattice.name = "example";
    lattice.reach_m = 50'000;
    world.lattices = {lattice};
    Tile& tile = world.made_tile(lattice, {0, 0});
    for (std::int32_t slot = 0; slot < 3; ++slot) {
        const auto s = static_cast<std::size_t>(slot);
        tile.present[s] = 1;
        tile.of(elevation)[s] = 120 + 140 * slot;
        for (std::int32_t month = 0; month < kMonths; ++month) {
            const std::size_t index = s * kMonths + static_cast<std::size_t>(month);
            tile.of(eto)[index] = 60 + 40 * std::min(month, 12 - month) + 25 * slot;
            tile.of(rain)[index] = 180 - 25 * std::min(month, 12 - month) + 7 * slot;
        }
    }
    tile.of(rain)[kMonths + 11] = kMissingValue;
    tile.of(eto_gradient).assign(kMonths, -150);
    tile.of(rain_gradient).assign(kMonths, 200);
    return world;
}

class FormatDocument : public testing::Test {
  protected:
    FormatDocument() : text_(test::bytes_of_file(THIRSTLINE_FORMAT_DOCUMENT)) {
        const test::World world = example_world();
        const std::string path = folder_.path("example.sqlite");
        auto writer = DatabaseWriter::create(path, world.layout);
        EXPECT_TRUE(writer.has_value());
        EXPECT_TRUE((*writer)->add_metadata("title", "Example").has_value());
        EXPECT_TRUE((*writer)->add_lattice(world.lattices[0]).has_value());
        key_ = world.tiles.begin()->first;
        data_ = *encode_tile(kCodecPlain, world.layout, *world.tiles.begin()->second);
        EXPECT_TRUE((*writer)->add_tile(key_, kCodecPlain, data_).has_value());
        EXPECT_TRUE((*writer)->finish().has_value());
        bytes_ = test::bytes_of_file(path);
        database_ = std::move(*Database::open(path));
    }

    void expect_in_document(const std::string& block) {
        EXPECT_NE(text_.find("\n" + block), std::string::npos) << "schema/FORMAT.md should hold:\n"
                                                               << block;
    }

    test::TemporaryFolder folder_;
    std::string text_, bytes_;
    std::int64_t key_ = 0;
    std::vector<std::uint8_t> data_;
    std::unique_ptr<Database> database_;
};

template <class Bytes>
std::string hex_dump(const Bytes& bytes, std::size_t begin, std::size_t end) {
    std::string dump;
    std::array<char, 24> text{};
    for (std::size_t at = begin; at < end; at += 16) {
        std::snprintf(text.data(), text.size(), "%04zx", at);
        dump += text.data();
        for (std::size_t i = at; i < std::min(at + 16, end); ++i) {
            std::snprintf(text.data(), text.size(), " %02x",
                          static_cast<unsigned>(static_cast<std::uint8_t>(bytes[i])));
            dump += text.data();
        }
        dump += "\n";
    }
    return dump;
}

TEST_F(FormatDocument, ShowsTheHeaderThatIdentifiesAFile) {
    expect_in_document(hex_dump(bytes_, 0x00, 0x10) + hex_dump(bytes_, 0x30, 0x50));
}

TEST_F(FormatDocument, ShowsTheTile) {
    expect_in_document(hex_dump(data_, 0, data_.size()));
    expect_in_document("tile_key " + std::to_string(key_) + "\ngap      " + std::to_string(key_) +
                       "\ncodec    0\ncrc32    " +
                       std::to_string(tile_crc32(key_, key_, kCodecPlain, data_)) + "\n");
}

TEST_F(FormatDocument, ShowsTheAnswers) {
    const auto answer_line = [this](LatLonE7 position, std::optional<std::int32_t> elevation_m) {
        const auto answer = database_->answer(position, elevation_m);
        EXPECT_TRUE(answer.has_value());
        std::string line = std::to_string(position.lat_e7) + " " + std::to_string(position.lon_e7) +
                           " " + (elevation_m ? std::to_string(*elevation_m) : "-") + " :";
        if (!answer->found) return line + " nothing\n";
        line += answer->interpolated ? " interpolated" : " nearest";
        for (const std::int32_t number :
             {answer->distance_m, answer->of(LayerId::elevation)[0], answer->of(LayerId::eto)[6],
              answer->of(LayerId::rain)[6], answer->of(LayerId::rain)[11]}) {
            line += " " + std::to_string(number);
        }
        return line + "\n";
    };
    expect_in_document(answer_line({440'625'000, -1'234'375'000}, std::nullopt) +
                       answer_line({440'625'000, -1'234'375'000}, 800) +
                       answer_line({440'123'456, -1'233'210'987}, std::nullopt) +
                       answer_line({446'000'000, -1'234'000'000}, std::nullopt) +
                       answer_line({450'000'000, -1'234'000'000}, std::nullopt));
}

TEST_F(FormatDocument, NamesItsVersionAndEveryLayer) {
    expect_in_document("Format " + std::to_string(kFormatMajor) + "." +
                       std::to_string(kFormatMinor));
    for (const Layer& layer : all_layers()) {
        std::string row = "| " + std::to_string(static_cast<int>(layer.id)) + " | `" +
                          std::string(layer.name) + "` | ";
        row += layer.shape == LayerShape::point_month ? "point_month"
               : layer.shape == LayerShape::point     ? "point"
                                                      : "tile_month";
        row += " | " + std::string(layer.unit) + " | " + std::to_string(layer.divisor) + " | " +
               std::to_string(layer.width_bytes) + " | " + (layer.is_signed ? "yes" : "no") + " |";
        expect_in_document(row);
    }
}

}  // namespace
}  // namespace thirstline
