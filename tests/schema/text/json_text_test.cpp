// Compares with nlohmann-json, an independent writer and reader, and with the example of the
// Unicode Standard (version 15.0, chapter 3, table 3-8) for bytes that are not UTF-8.
#include "schema/text/json_text.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <nlohmann/json.hpp>
#include <random>
#include <utility>

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

/// The same with \\uXXXX for what steers a terminal and may stand in JSON as it is: DEL and C1
/// (ISO 6429), and what turns or breaks lines (Unicode Standard Annex 9).
std::string by_nlohmann_for_terminals(const std::string& text) {
    std::string out = by_nlohmann(text);
    const auto escape = [&out](const std::string& bytes, const char* code) {
        for (std::size_t at = 0; (at = out.find(bytes, at)) != std::string::npos;)
            out.replace(at, bytes.size(), code);
    };
    escape("\x7F", "\\u007f");
    for (int c = 0x80; c < 0xA0; ++c) {
        char code[8];
        std::snprintf(code, sizeof code, "\\u%04x", static_cast<unsigned>(c));
        escape(std::string("\xC2") + static_cast<char>(c), code);
    }
    for (const auto& [bytes, code] : {std::pair{"\u061C", "\\u061c"},
                                      {"\u200E", "\\u200e"},
                                      {"\u200F", "\\u200f"},
                                      {"\u2028", "\\u2028"},
                                      {"\u2029", "\\u2029"},
                                      {"\u202A", "\\u202a"},
                                      {"\u202B", "\\u202b"},
                                      {"\u202C", "\\u202c"},
                                      {"\u202D", "\\u202d"},
                                      {"\u202E", "\\u202e"},
                                      {"\u2066", "\\u2066"},
                                      {"\u2067", "\\u2067"},
                                      {"\u2068", "\\u2068"},
                                      {"\u2069", "\\u2069"}})
        escape(bytes, code);
    return out;
}

TEST(JsonText, EscapesExactlyWhatJsonRequires) {
    EXPECT_EQ(json_text("a \"quote\", a \\, a\ttab, a\nline and \x1f"),
              R"("a \"quote\", a \\, a\ttab, a\nline and \u001f")");
    EXPECT_EQ(json_text("12 m² ± 3 …"), "\"12 m² ± 3 …\"");
    EXPECT_EQ(json_text(""), "\"\"");
}

TEST(JsonText, EscapesTerminalControls) {
    EXPECT_EQ(json_text("a\x1B\x7F\u009B\u202E\u2066z"), R"("a\u001b\u007f\u009b\u202e\u2066z")");
}

TEST(JsonText, ReplacesEachMaximalPartOfACharacter) {
    const std::string unit = "\xEF\xBF\xBD";
    EXPECT_EQ(json_text("\x61\xF1\x80\x80\xE1\x80\xC2\x62\x80\x63\x80\xBF\x64"),
              "\"a" + unit + unit + unit + "b" + unit + "c" + unit + unit + "d\"");
}

TEST(JsonText, IsWhatAnIndependentWriterMakesOfAscii) {
    for (int c = 0; c < 128; ++c) {
        const std::string text = std::string("<") + static_cast<char>(c) + ">";
        EXPECT_EQ(json_text(text), by_nlohmann_for_terminals(text)) << c;
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
        ASSERT_EQ(json_text(text), by_nlohmann_for_terminals(text)) << "run " << run;
        ASSERT_EQ(nlohmann::json::parse(json_text(text)), nlohmann::json::parse(by_nlohmann(text)));
    }
}

}  // namespace
}  // namespace thirstline
