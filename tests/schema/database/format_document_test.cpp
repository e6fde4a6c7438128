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

#include "schema/base/version.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/database.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/format_example.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

class FormatDocument : public testing::Test {
  protected:
    FormatDocument() : text_(test::bytes_of_file(THIRSTLINE_FORMAT_DOCUMENT)) {
        const test::World world = test::format_example();
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

TEST_F(FormatDocument, ShowsTheHeaderThatIdentifiesAFile) {
    expect_in_document(test::hex_dump(bytes_, 0x00, 0x10) + test::hex_dump(bytes_, 0x30, 0x50));
}

TEST_F(FormatDocument, ShowsTheTile) {
    expect_in_document(test::hex_dump(data_, 0, data_.size()));
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
