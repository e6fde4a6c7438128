// Checks against nlohmann-json, an independent writer and reader, and against the example of the
// Unicode Standard (version 15.0, chapter 3, table 3-8) for bytes that are no UTF-8.
#include "schema/text/json_text.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <random>

namespace thirstline {
namespace {

std::string json_text(std::string_view text) {
    std::string out;
    append_json_text(out, text);
    return out;
}

std::string by_nlohmann(const std::string& text) {
    using Json = nlohmann::json;
    return Json(text).dump(-1, ' ', false, Json::error_handler_t::replace);
}

TEST(JsonText, EscapesWhatJsonWantsEscapedAndNothingElse) {
    EXPECT_EQ(json_text("a \"quote\", a \\, a\ttab, a\nline and \x1f"),
              R"("a \"quote\", a \\, a\ttab, a\nline and \u001f")");
    EXPECT_EQ(json_text("12 m² ± 3 …"), "\"12 m² ± 3 …\"");
    EXPECT_EQ(json_text(""), "\"\"");
}

TEST(JsonText, ReplacesEachMaximalPartOfACharacter) {
    const std::string unit = "\xEF\xBF\xBD";
    EXPECT_EQ(json_text("\x61\xF1\x80\x80\xE1\x80\xC2\x62\x80\x63\x80\xBF\x64"),
              "\"a" + unit + unit + unit + "b" + unit + "c" + unit + unit + "d\"");
}

TEST(JsonText, IsWhatAnIndependentWriterMakesOfAscii) {
    for (int c = 0; c < 128; ++c) {
        const std::string text = std::string("<") + static_cast<char>(c) + ">";
        EXPECT_EQ(json_text(text), by_nlohmann(text)) << c;
    }
}

TEST(JsonText, IsWhatAnIndependentWriterMakesOfAnyBytes) {
    std::mt19937 random(7);
    // Bytes at the borders of what UTF-8 allows come often.
    const std::string borders =
        "\x7F\x80\x8F\x90\x9F\xA0\xBF\xC1\xC2\xDF\xE0\xE1\xED\xEF\xF0\xF1\xF3\xF4\xF5\xFF";
    for (int run = 0; run < 200'000; ++run) {
        std::string text;
        for (std::size_t i = random() % 7; i > 0; --i) {
            text.push_back(random() % 2 == 0 ? borders[random() % borders.size()]
                                             : static_cast<char>(random() % 256));
        }
        ASSERT_EQ(json_text(text), by_nlohmann(text)) << "run " << run;
    }
}

}  // namespace
}  // namespace thirstline
