// schema/TILE_CODE.md describes what the code does: its worked example decodes to the values given
// there, and a reader written from the document only, including its tables, reads what the encoder
// writes.
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <sstream>
#include <string>
#include <string_view>

#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/varied_tiles.hpp"

namespace thirstline {
namespace {

using test::Random;

std::string hex_of(const std::vector<std::uint8_t>& data) {
    std::string text;
    std::array<char, 4> byte{};
    for (const std::uint8_t number : data) {
        std::snprintf(byte.data(), byte.size(), "%02x", static_cast<unsigned>(number));
        text += byte.data();
    }
    return text;
}

/// Three by three points, the north-eastern without data; no elevation is known of slot 2.
struct Example {
    TileLayout layout =
        test::layout_of(3, {LayerId::eto, LayerId::elevation, LayerId::eto_gradient});
    Tile tile = Tile::empty(layout);

    Example() {
        for (int slot = 0; slot < 8; ++slot) {
            const int row = slot / 3, column = slot % 3;
            const auto s = static_cast<std::size_t>(slot);
            tile.present[s] = 1;
            tile.of(LayerId::elevation)[s] = 120 + 60 * row + 15 * column + (slot == 4 ? 7 : 0);
            for (int month = 0; month < kMonths; ++month) {
                const int summer = month < 6 ? month : 12 - month;
                tile.of(LayerId::eto)[s * kMonths + static_cast<std::size_t>(month)] =
                    60 + 40 * summer + 2 * row + column * (1 + summer / 3) +
                    (slot * month % 5 == 4 ? 1 : 0);
            }
        }
        tile.of(LayerId::elevation)[2] = kMissingValue;
        auto& gradient = tile.of(LayerId::eto_gradient);
        gradient.assign(kMonths, -150);
        gradient[6] = -140;
        gradient[11] = kMissingValue;
    }
};

class TileCodeDocument : public testing::Test {
  protected:
    void expect_in_document(const std::string& block) {
        EXPECT_NE(text_.find("\n" + block), std::string::npos)
            << "schema/TILE_CODE.md should hold:\n"
            << block;
    }
    static std::string said_of(const std::string& tiles, const std::string& options = "") {
        const test::TemporaryFolder folder;
        test::write_bytes(folder.path("tiles"), tiles);
        const auto said = test::output_of(
            THIRSTLINE_TEST_PYTHON
            " " THIRSTLINE_TEST_FOLDER
            "/schema/database/read_tile_code.py " THIRSTLINE_TILE_CODE_DOCUMENT " " +
            options + " < " + folder.path("tiles"));
        EXPECT_TRUE(said.has_value());
        return said.value_or("");
    }
    /// The hexadecimal dump of the worked example.
    [[nodiscard]] std::vector<std::uint8_t> example_bytes() const {
        const std::size_t begin = text_.find("```\n0000 ") + 4;
        std::istringstream dump(text_.substr(begin, text_.find("```", begin) - begin));
        std::vector<std::uint8_t> bytes;
        std::string line, word;
        while (std::getline(dump, line)) {
            std::istringstream words(line);
            words >> word;  // the offset
            EXPECT_EQ(std::stoul(word, nullptr, 16), bytes.size());
            while (words >> word)
                bytes.push_back(static_cast<std::uint8_t>(std::stoul(word, nullptr, 16)));
        }
        return bytes;
    }
    std::string text_ = test::bytes_of_file(THIRSTLINE_TILE_CODE_DOCUMENT);
};

// A writer is free to choose other predictors and weights: the document's bytes are held to what
// they decode to, and the encoder to about their length.
TEST_F(TileCodeDocument, ShowsTheTile) {
    const Example example;
    const auto decoded = decode_tile(kCodecPredictive, example.layout, example_bytes());
    ASSERT_TRUE(decoded.has_value()) << decoded.error().message;
    EXPECT_EQ(*decoded, example.tile);
    std::string values;
    for (int month = 0; month < kMonths; ++month)
        values += (month == 0 ? "" : " ") +
                  std::to_string(example.tile.month_value(LayerId::eto, 4, month));
    expect_in_document(values + "\n");
    const auto encoded = encode_tile(kCodecPredictive, example.layout, example.tile);
    ASSERT_TRUE(encoded.has_value());
    EXPECT_LE(encoded->size(), example_bytes().size() + 8);
}

TEST_F(TileCodeDocument, ExplainsTheTile) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    const std::string said = said_of("3 mu,ps,ts " + hex_of(example_bytes()) + "\n", "--explain");
    ASSERT_FALSE(said.empty());
    expect_in_document(said);
}

std::string layers_of(const TileLayout& layout) {
    std::string text;
    for (const Layer& layer : layout.layers) {
        text += text.empty() ? "" : ",";
        text += layer.shape == LayerShape::point_month ? "m"
                : layer.shape == LayerShape::point     ? "p"
                                                       : "t";
        text += layer.is_signed ? "s" : "u";
    }
    return text;
}

std::string line_of_tile(const TileLayout& layout, const Tile& tile) {
    std::ostringstream line;
    bool any = false;
    for (const std::uint8_t present : tile.present) {
        line << (present != 0 ? '1' : '.');
        any = any || present != 0;
    }
    for (const Layer& layer : layout.layers) {
        if (!any) {
            line << " x";
            continue;
        }
        for (const std::int32_t value : tile.of(layer.id)) {
            line << ' ';
            if (value == kMissingValue)
                line << 'x';
            else
                line << value;
        }
    }
    line << '\n';
    return line.str();
}

TEST_F(TileCodeDocument, AReaderWrittenFromItGivesTheSameValues) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    Random random(91);
    std::string tiles, expected, damaged, decoded;
    for (int n = 0; n < 120; ++n) {
        const TileLayout layout = test::varied_layout(
            static_cast<int>(n % 20 == 0 ? random.between(9, 20) : random.between(2, 8)), true,
            random);
        const Tile tile = test::varied_tile(layout, random);
        auto data = encode_tile(kCodecPredictive, layout, tile);
        ASSERT_TRUE(data.has_value());
        const std::string start = std::to_string(layout.edge) + " " + layers_of(layout) + " ";
        tiles += start + hex_of(*data) + "\n";
        expected += line_of_tile(layout, tile);
        // It rejects what the decoder rejects, and makes the same of the rest.
        (*data)[static_cast<std::size_t>(
            random.between(0, static_cast<std::int64_t>(data->size()) - 1))] ^=
            static_cast<std::uint8_t>(random.between(1, 255));
        const auto other = decode_tile(kCodecPredictive, layout, *data);
        damaged += start + hex_of(*data) + "\n";
        decoded += other ? line_of_tile(layout, *other) : "rejected\n";
    }
    EXPECT_EQ(said_of(tiles), expected);
    EXPECT_EQ(said_of(damaged), decoded);
}

}  // namespace
}  // namespace thirstline
